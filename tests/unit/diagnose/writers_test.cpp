#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "beadwise/diagnose.hpp"
#include "report/wrap.hpp"
#include "unit/diagnose/known_findings.hpp"

namespace beadwise::tests {
namespace {

const std::vector<FileReport>& plates() {
  static const std::vector<FileReport> reports = [] {
    std::vector<FileReport> all;
    for (const FailingPlate& plate : failing_plates()) all.push_back(report_of_plate(plate.file));
    all.push_back(report_of_plate("row_label.gcode"));
    return all;
  }();
  return reports;
}

template <class Judged>
void for_each_answer(Judged judged) {
  for (const FileReport& report : plates()) {
    for (const Symptom symptom : all_symptoms) {
      INFO(report.file, " ", to_string(symptom));
      judged(diagnose(report, seeing({symptom})));
    }
  }
}

std::size_t widest_line(const std::string& text) {
  std::istringstream lines(text);
  std::size_t widest = 0;
  for (std::string line; std::getline(lines, line);) widest = std::max(widest, columns_of(line));
  return widest;
}

TEST_CASE("text keeps to its width, and stands in the order causes, ruled out, by hand, cautions") {
  for_each_answer([](const Diagnosis& answer) {
    for (const std::size_t width : {std::size_t{60}, std::size_t{80}, std::size_t{120}})
      CHECK(widest_line(diagnosis_as_text(answer, {.width = width})) <= width);
    const std::string text = diagnosis_as_text(answer, {});
    std::size_t last = 0;
    for (const char* title : {"\nSeen: ", "\nCauses in this file", "\nRuled out", "\nWhat no file shows", "\nMind"}) {
      const std::size_t at = text.find(title);
      if (at == std::string::npos) continue;
      CHECK(at > last);
      last = at;
    }
    CHECK(text.find("\nWhat no file shows") != std::string::npos);
    CHECK(text.size() < 20000);
    CHECK(text.find('\x1b') == std::string::npos);
  });
}

TEST_CASE("every cause and every exclusion names its check, in text, Markdown and JSON") {
  for_each_answer([](const Diagnosis& answer) {
    const std::string text = diagnosis_as_text(answer, {.width = 100000});
    const std::string markdown = diagnosis_as_markdown(answer);
    const auto json = nlohmann::json::parse(diagnosis_as_json(answer));
    CHECK(json["diagnosis_version"] == 1);
    CHECK(json["causes"].size() == answer.causes.size());
    CHECK(json["ruled_out"].size() == answer.ruled_out.size());
    double share = 0;
    for (const auto& cause : json["causes"]) share += cause["share"].get<double>();
    if (!answer.causes.empty()) CHECK(share == doctest::Approx(1));
    for (const Cause& cause : answer.causes) {
      CHECK(text.find(' ' + cause.check + ':') != std::string::npos);
      CHECK(markdown.find(cause.check) != std::string::npos);
    }
    for (const RuledOut& one : answer.ruled_out) {
      CHECK(text.find(one.because + ": not the cause (" + one.check + ").") != std::string::npos);
      CHECK(markdown.find(one.check) != std::string::npos);
    }
  });
}

TEST_CASE("the same report gives the same bytes") {
  const FileReport& report = plates().front();
  for (const auto written : {diagnosis_as_json, diagnosis_as_markdown})
    CHECK(written(diagnose(report, seeing({Symptom::clogging}))) ==
          written(diagnose(report, seeing({Symptom::clogging}))));
}

TEST_CASE("a name from outside is shown and steers nothing") {
  FileReport report = plates().back();
  report.file = "row\x1b[31m label<script>.gcode";
  const Diagnosis answer = diagnose(report, seeing({Symptom::stringing}));
  CHECK(diagnosis_as_text(answer, {}).find('\x1b') == std::string::npos);
  CHECK(diagnosis_as_markdown(answer).find('\x1b') == std::string::npos);
  CHECK(diagnosis_as_json(answer).find('\x1b') == std::string::npos);
}

TEST_CASE("a file that could not be read is answered in a few lines, and rules nothing out") {
  FileReport report;
  report.file = "lost.gcode";
  report.failure = "no such file: check the path.";
  const Diagnosis answer = diagnose(report, seeing({Symptom::stringing}));
  CHECK(answer.ruled_out.empty());
  CHECK(diagnosis_as_text(answer, {}).find("could not be read") != std::string::npos);
  CHECK(diagnosis_as_markdown(answer).find("could not be read") != std::string::npos);
}

TEST_CASE("the help lists all symptoms in every format") {
  const auto json = nlohmann::json::parse(symptoms_as_json());
  CHECK(json["symptoms"].size() == 14);
  const std::string text = symptoms_as_text({});
  CHECK(widest_line(text) <= 80);
  for (const Symptom symptom : all_symptoms) {
    const std::string name(to_string(symptom));
    CHECK(text.find(name + '\n') != std::string::npos);
    CHECK(symptoms_as_markdown().find('`' + name + '`') != std::string::npos);
    CHECK(json["symptoms"][static_cast<std::size_t>(symptom)]["symptom"] == name);
  }
}

}  // namespace
}  // namespace beadwise::tests
