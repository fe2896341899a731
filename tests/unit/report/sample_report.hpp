#pragma once

#include "beadwise/report.hpp"

/// A report as an analysis would hand it over: row labels of an orchard, pulled back too often on three layers.
inline beadwise::FileReport sample_report() {
  using namespace beadwise;
  FileReport report;
  report.file = "row-labels.gcode";
  report.sha256 = std::string(64, 'a');
  report.assumptions = {
      {"machine.nozzle_diameter_mm", 0.4, Origin::file, "Most beads are 0.45 mm wide."},
      {"machine.liner", true, Origin::profile, "orchard.toml:3"},
      {"filament.material", std::string("pla"), Origin::file, "The nozzle is set to 210 °C."},
      {"filament.nozzle_c", Range{180, 235}, Origin::built_in, "As printed in practice."},
  };
  JobFigures job;
  job.bytes = 123456;
  job.lines = 4321;
  job.moves = 4000;
  job.extruding_moves = 3000;
  job.travel_moves = 700;
  job.retractions = 131;
  job.filament_fed_mm = 3420.5;
  job.layers = 42;
  job.bounds_x_mm = {10, 130};
  job.bounds_y_mm = {20, 100.5};
  job.bounds_z_mm = {0.2, 8.4};
  job.duration_s = 4325;
  job.max_gear_passes = 131;
  job.nozzle_c = {205, 210};
  job.filament_mass_g = 10.2;
  report.job = job;
  report.checks = {{"broken-arc", true, std::nullopt, 0},
                   {"dense-retraction", true, std::nullopt, 1},
                   {"short-spool", false, "nobody stated how much filament is left", 0}};
  Finding finding;
  finding.check = "dense-retraction";
  finding.severity = Severity::error;
  finding.symptoms = {Symptom::clogging, Symptom::under_extrusion};
  finding.what = "One stretch of filament passes the drive gear 131 times on layers 12 to 14.";
  finding.why = "The gear grinds the filament away and then slips.";
  finding.remedy = "Join the travels of these layers, or pull back less often.";
  finding.key = "stretch";
  finding.measured = Measured{131, 100, "passes", Origin::built_in};
  for (std::uint64_t i = 0; i < 48; ++i) {
    Place place;
    place.line = 1203 + i;
    place.layer = 12 + static_cast<std::uint32_t>(i / 16);
    place.x_mm = 12.1;
    place.y_mm = 5.5;
    place.z_mm = 2.4;
    place.has_position = true;
    place.value = 131 - static_cast<double>(i);
    finding.places.add(place);
  }
  Findings findings;
  findings.add(finding);
  report.findings = findings.take();
  return report;
}

/// The same file with nothing found.
inline beadwise::FileReport clean_report() {
  beadwise::FileReport report = sample_report();
  report.findings.clear();
  report.checks[1].findings = 0;
  return report;
}
