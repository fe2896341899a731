// The verdict of sliced files, and the worst finding of each: the shortest program that uses the library.
//   verdict FILE…
// Exit status: 0 where no file has an error, 1 where one has, 2 for wrong usage, 3 where a file could not be read.
#include <algorithm>
#include <beadwise/analyse.hpp>
#include <beadwise/error.hpp>
#include <iostream>
#include <string>
#include <vector>

namespace {

int print_verdict(const beadwise::FileReport& report) {
  std::cout << report.file << ": " << report.verdict() << '\n';
  if (report.failure) {
    std::cout << "  " << *report.failure << '\n';
    return 3;
  }
  if (report.findings.empty()) return 0;
  const beadwise::Finding& worst = report.findings.front();
  std::cout << "  " << worst.what << "\n  " << worst.remedy << '\n';
  return worst.severity == beadwise::Severity::error ? 1 : 0;
}

}  // namespace

int main(int count, char** arguments) try {
  if (count < 2) {
    std::cerr << "usage: verdict FILE…\n";
    return 2;
  }
  int status = 0;
  const std::vector<beadwise::Source> jobs = beadwise::sources_from_arguments({arguments + 1, arguments + count});
  for (const beadwise::FileReport& report : beadwise::analyse_all(jobs, {}))
    status = std::max(status, print_verdict(report));
  return status;
} catch (const beadwise::Error& error) {
  std::cerr << error.what() << '\n';
  return 2;
}
