#include "checks/page.hpp"

#include <algorithm>
#include <sstream>
#include <stdexcept>

namespace beadwise::tests {

namespace {

constexpr std::string_view expect_mark = "; expect:";
constexpr std::string_view set_mark = "; set:";
constexpr std::string_view skips_mark = "; skips:";
constexpr std::string_view tells_mark = "; tells:";

std::string trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r");
  if (first == std::string_view::npos) return {};
  return std::string(text.substr(first, text.find_last_not_of(" \t\r") - first + 1));
}

bool starts_with(std::string_view text, std::string_view head) { return text.substr(0, head.size()) == head; }

Severity severity_named(const std::string& word) {
  for (const Severity severity : {Severity::note, Severity::warning, Severity::error}) {
    if (to_string(severity) == word) return severity;
  }
  throw std::runtime_error("no severity: " + word);
}

Expectation read_expectation(const std::string& line, std::size_t mark, std::uint64_t number) {
  std::istringstream words(line.substr(mark + expect_mark.size()));
  Expectation expectation;
  std::string severity;
  if (!(words >> expectation.check)) throw std::runtime_error("`; expect:` names no check");
  if (words >> severity) expectation.severity = severity_named(severity);
  if (!trimmed(line.substr(0, mark)).empty()) expectation.line = number;
  return expectation;
}

std::vector<std::string> cells_of(const std::string& row) {
  std::vector<std::string> cells;
  std::istringstream stream(row.substr(row.find('|') + 1));
  for (std::string cell; std::getline(stream, cell, '|');) {
    cell.erase(std::remove(cell.begin(), cell.end(), '`'), cell.end());
    cells.push_back(trimmed(cell));
  }
  return cells;
}

void add_threshold(Page& page, const std::string& line) {
  const std::vector<std::string> cells = cells_of(line);
  const bool rule_or_head =
      cells.empty() || starts_with(cells[0], "-") || starts_with(cells[0], ":") || cells[0] == "key";
  if (rule_or_head) return;
  if (cells.size() != 5) throw std::runtime_error("a row of thresholds has five cells: " + line);
  page.thresholds.push_back({cells[0], cells[1], cells[2], cells[3], cells[4]});
}

}  // namespace

Example read_example(std::string name, std::string gcode, bool flagged) {
  Example example{.name = std::move(name),
                  .gcode = std::move(gcode),
                  .flagged = flagged,
                  .expectations = {},
                  .sets = {},
                  .skips = {},
                  .tells = {}};
  std::istringstream lines(example.gcode);
  std::uint64_t number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    if (const std::size_t mark = line.find(expect_mark); mark != std::string::npos)
      example.expectations.push_back(read_expectation(line, mark, number));
    if (const std::size_t mark = line.find(set_mark); mark != std::string::npos)
      example.sets.push_back(trimmed(line.substr(mark + set_mark.size())));
    if (const std::size_t mark = line.find(skips_mark); mark != std::string::npos)
      example.skips.push_back(trimmed(line.substr(mark + skips_mark.size())));
    if (const std::size_t mark = line.find(tells_mark); mark != std::string::npos)
      example.tells.push_back(trimmed(line.substr(mark + tells_mark.size())));
  }
  return example;
}

Page read_page(std::string_view text) {
  Page page;
  std::istringstream lines{std::string(text)};
  std::optional<std::string> fence;  // what opened the block that we are in
  std::string block;
  for (std::string line; std::getline(lines, line);) {
    if (fence && !starts_with(line, "```")) {
      block += line + '\n';
    } else if (fence) {
      const bool flagged = *fence == "gcode flagged";
      const std::string name = "example " + std::to_string(page.examples.size() + 1);
      if (flagged || *fence == "gcode clean") page.examples.push_back(read_example(name, block, flagged));
      fence.reset();
    } else if (starts_with(line, "```")) {
      fence = trimmed(line.substr(3));
      block.clear();
    } else if (starts_with(line, "## ")) {
      page.headings.push_back(trimmed(line.substr(3)));
    } else if (starts_with(line, "# ") && page.title.empty()) {
      page.title = trimmed(line.substr(2));
    } else if (page.summary.empty() && !page.title.empty()) {
      page.summary = trimmed(line);
    } else if (!page.headings.empty() && page.headings.back() == "Thresholds" && starts_with(line, "|")) {
      add_threshold(page, line);
    }
  }
  if (fence) throw std::runtime_error("a block is not closed: " + *fence);
  return page;
}

}  // namespace beadwise::tests
