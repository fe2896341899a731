// Writes the HTML report of jobs for the tests of the page.
//
//   write_page PAGE.html none|findings|full FILE…

#include <fstream>
#include <iostream>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/analyse.hpp"

namespace {

beadwise::ReportData data_named(std::string_view name) {
  if (name == "none") return beadwise::ReportData::none;
  return name == "full" ? beadwise::ReportData::full : beadwise::ReportData::findings;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 4) {
    std::cerr << "usage: write_page PAGE.html none|findings|full FILE…\n";
    return 2;
  }
  beadwise::AnalyseOptions options;
  options.report_data = data_named(argv[2]);
  const std::vector<std::string> files(argv + 3, argv + argc);
  const std::vector<beadwise::FileReport> reports =
      beadwise::analyse_all(beadwise::sources_from_arguments(files), options);
  std::ofstream page(argv[1], std::ios::binary);
  page << beadwise::check_as_html(reports, {});
  return page.flush() ? 0 : 1;
}
