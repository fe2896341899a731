#include "beadwise/report.hpp"
#include "report/figure_rows.hpp"
#include "report/json_value.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

/// A field as RFC 4180, section 2 has it.
std::string field(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
  std::string quoted = "\"";
  for (const char letter : text) {
    quoted += letter;
    if (letter == '"') quoted += '"';
  }
  return quoted + '"';
}

std::string header(const std::vector<FigureRow>& rows, std::string_view first_columns) {
  std::string line(first_columns);
  for (const FigureRow& row : rows) line += ',' + std::string(row.key);
  return line + '\n';
}

std::string values(const std::vector<FigureRow>& rows) {
  std::string line;
  for (const FigureRow& row : rows) line += ',' + row.value;
  return line;
}

std::string file_columns(const FileReport& report) { return field(shown(report.file)); }

std::string jobs(std::span<const FileReport> reports) {
  std::string out = header(figure_rows(JobFigures{}), "file,sha256,failure");
  for (const FileReport& report : reports) {
    out += file_columns(report) + ',' + report.sha256 + ',' + field(shown(report.failure.value_or("")));
    if (report.job) {
      out += values(figure_rows(*report.job));
    } else {
      out += std::string(figure_rows(JobFigures{}).size(), ',');
    }
    out += '\n';
  }
  return out;
}

template <class Figures>
std::string parts(std::span<const FileReport> reports, std::vector<Figures> FileReport::*list) {
  std::string out = header(figure_rows(Figures{}), "file");
  for (const FileReport& report : reports) {
    for (const Figures& one : report.*list) out += file_columns(report) + values(figure_rows(one)) + '\n';
  }
  return out;
}

}  // namespace

std::string measure_as_csv(std::span<const FileReport> reports, Per per) {
  if (per == Per::layer) return parts(reports, &FileReport::layers);
  if (per == Per::object) return parts(reports, &FileReport::objects);
  return jobs(reports);
}

std::string series_as_csv(std::span<const FileReport> reports, Series series) {
  const std::string unit = series == Series::flow ? "mm3_per_s" : series == Series::core ? "c" : "mm_per_s";
  std::string out = "file,start_s,step_s,mean_" + unit + ",least_" + unit + ",most_" + unit + '\n';
  for (const FileReport& report : reports) {
    for (const SeriesRow& row : report.series) {
      out += file_columns(report);
      for (const double value : {row.start_s, row.step_s, row.mean, row.least, row.most})
        out += ',' + json_number(value).dump();
      out += '\n';
    }
  }
  return out;
}

}  // namespace beadwise
