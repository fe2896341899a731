#include <beadwise/analyse.hpp>
#include <beadwise/version.hpp>
#include <iostream>

int main() {
  const beadwise::Source job =
      beadwise::Source::memory("tag.gcode", "G28\nM109 S210\nG1 X10 Y10 Z0.2 F3000\nG1 X20 E0.5\n");
  const beadwise::FileReport report = beadwise::analyse(job, {});
  if (!report.job || report.job->extruding_moves != 1) return 1;
  std::cout << "beadwise " << beadwise::version() << ": " << report.file << " is " << report.verdict() << '\n';
}
