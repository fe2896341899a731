#include <fmt/format.h>

#include <algorithm>

#include "beadwise/report.hpp"
#include "beadwise/version.hpp"
#include "report/html_background.hpp"
#include "report/html_finding.hpp"
#include "report/html_layers.hpp"
#include "report/html_page.hpp"
#include "report/html_strips.hpp"
#include "report/html_text.hpp"
#include "report/spoken.hpp"
#include "report/verdict_text.hpp"

namespace beadwise {

namespace {

// A page with more drawings takes longer to open than anybody reads.
constexpr std::size_t most_drawn = 40;
constexpr std::size_t least_drawn_of_file = 2;

/// Where one file stands on the page.
struct FileOnPage {
  std::size_t number = 0;  ///< from 1; 0: the only one
  int heading = 2;         ///< of its parts
  std::size_t layer_bytes = 0;
  std::size_t drawn = most_drawn;  ///< findings with a picture

  std::string finding_id() const { return number == 0 ? "f-" : fmt::format("f{}-", number); }
};

std::string findings_of(const FileReport& report, const FileOnPage& page) {
  if (report.findings.empty()) return {};
  std::string out = fmt::format("<section class=\"findings\" id=\"{}all\"><h{}>What was found</h{}>\n",
                                page.finding_id(), page.heading, page.heading);
  std::size_t number = 0;
  for (const Finding& finding : report.findings) {
    ++number;
    out += finding_html(report, finding,
                        {.number = number,
                         .id = page.finding_id() + std::to_string(number),
                         .heading = page.heading + 1,
                         .drawn = number <= page.drawn});
  }
  return out + "</section>\n";
}

std::string run_of(const FileReport& report, const FileOnPage& page) {
  const std::string strips = strips_html(report, page.finding_id());
  if (strips.empty()) return {};
  return fmt::format("<section class=\"course\"><h{0}>The print from start to end</h{0}>{1}</section>\n", page.heading,
                     strips);
}

std::string section(std::string_view kind, const std::string& inside) {
  return inside.empty() ? std::string() : fmt::format("<section class=\"{}\">{}</section>\n", kind, inside);
}

/// A sentence set large: a number does not part from what it counts.
std::string large(std::string_view sentence) {
  std::string out;
  for (const char letter : escaped(sentence)) {
    const bool after_digit = !out.empty() && out.back() >= '0' && out.back() <= '9';
    if (letter == ' ' && after_digit) {
      out += "&nbsp;";
    } else {
      out += letter;
    }
  }
  return out;
}

/// What stands below the verdict of one file.
std::string body_of(const FileReport& report, const FileOnPage& page) {
  return run_of(report, page) + findings_of(report, page) +
         layers_html(report, page.finding_id(), page.heading, page.layer_bytes) +
         section("all", findings_table_html(report, page.finding_id(), page.heading)) +
         section("background", background_html(report, page.heading));
}

std::string job_of(const FileReport& report) {
  return report.job ? "<p class=\"job\">" + escaped(job_sentence(*report.job)) + "</p>" : std::string();
}

std::string maker() {
  return fmt::format("<p class=\"maker\">Read by beadwise {} before printing</p>", escaped(version()));
}

std::string one_file(const FileReport& report, const HtmlOptions& options) {
  const std::string_view verdict = report.verdict();
  const FileOnPage page{.number = 0, .heading = 2, .layer_bytes = options.layer_bytes};
  return fmt::format(
             "<header class=\"verdict {}\">{}<p class=\"file\"><bdi>{}</bdi></p><h1>{}{}</h1>{}</header>\n<main "
             "id=\"main\">\n",
             verdict, maker(), escaped(report.file), verdict_sign(verdict), large(verdict_sentence(report)),
             job_of(report)) +
         body_of(report, page) + "</main>\n";
}

std::string sentence_for_all(std::span<const FileReport> reports) {
  const auto bad =
      static_cast<std::uint64_t>(std::count_if(reports.begin(), reports.end(), [](const FileReport& report) {
        return report.verdict() == "error" || report.verdict() == "unreadable";
      }));
  const std::string files = counted(reports.size(), "file");
  if (bad == 0) return fmt::format("{}, none of them with an error.", files);
  return fmt::format("{}: {} of them should not be printed as {}.", files, bad, bad == 1 ? "it is" : "they are");
}

std::string counts_cells(const FileReport& report) {
  std::string out;
  for (const Severity severity : {Severity::error, Severity::warning, Severity::note})
    out += fmt::format("<td>{}</td>",
                       std::count_if(report.findings.begin(), report.findings.end(),
                                     [&](const Finding& one) { return one.severity == severity && !one.accepted; }));
  return out;
}

std::string list_of(std::span<const FileReport> reports) {
  std::string out =
      "<div class=\"wide\" role=\"group\" tabindex=\"0\" aria-label=\"Files\"><table "
      "class=\"files\"><caption>Files</caption>"
      "<thead><tr><th scope=\"col\">file</th><th scope=\"col\">verdict</th><th scope=\"col\">errors</th><th "
      "scope=\"col\">warnings</th><th scope=\"col\">notes</th></tr></thead><tbody>";
  std::size_t number = 0;
  for (const FileReport& report : reports) {
    ++number;
    out += fmt::format("<tr><th scope=\"row\"><a href=\"#file-{}\"><bdi>{}</bdi></a></th><td>{}{}</td>{}</tr>", number,
                       escaped(report.file), verdict_sign(report.verdict()), report.verdict(), counts_cells(report));
  }
  return out + "</tbody></table></div>";
}

std::string several_files(std::span<const FileReport> reports, const HtmlOptions& options) {
  std::string out = fmt::format("<header class=\"verdict\">{}<h1>{}</h1>{}</header>\n<main id=\"main\">\n", maker(),
                                large(sentence_for_all(reports)), list_of(reports));
  std::size_t number = 0;
  for (const FileReport& report : reports) {
    ++number;
    const std::string_view verdict = report.verdict();
    const FileOnPage page{.number = number,
                          .heading = 3,
                          .layer_bytes = options.layer_bytes / reports.size(),
                          .drawn = std::max(least_drawn_of_file, most_drawn / reports.size())};
    out += fmt::format(
        "<section class=\"one-file\" id=\"file-{}\"><header class=\"verdict {}\"><p class=\"file\"><bdi>{}</bdi></p>"
        "<h2>{}{}</h2>{}</header>\n",
        number, verdict, escaped(report.file), verdict_sign(verdict), large(verdict_sentence(report)), job_of(report));
    out += body_of(report, page) + "</section>\n";
  }
  return out + "</main>\n";
}

std::string title_of_page(std::span<const FileReport> reports) {
  if (reports.size() != 1) return fmt::format("{} – beadwise", counted(reports.size(), "file"));
  return fmt::format("{}: {} – beadwise", reports.front().file, reports.front().verdict());
}

std::string head(std::span<const FileReport> reports) {
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta "
      "http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src 'sha256-{}'; style-src "
      "'sha256-{}'; base-uri 'none'; form-action 'none'\">\n<meta name=\"viewport\" "
      "content=\"width=device-width, initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light dark\">\n<meta "
      "name=\"referrer\" content=\"no-referrer\">\n<title>{}</title>\n<style>{}</style>\n</head>\n",
      html_page::script_sha256(), html_page::style_sha256(), escaped(title_of_page(reports)), html_page::style());
}

}  // namespace

std::string check_as_html(std::span<const FileReport> reports, const HtmlOptions& options) {
  std::string out = head(reports) + "<body>\n<a class=\"skip\" href=\"#main\">Skip to what was found</a>\n";
  out += reports.size() == 1 ? one_file(reports.front(), options) : several_files(reports, options);
  return out + fmt::format("<script>{}</script>\n</body>\n</html>\n", html_page::script());
}

}  // namespace beadwise
