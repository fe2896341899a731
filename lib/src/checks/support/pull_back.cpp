#include "checks/support/pull_back.hpp"

#include <fmt/format.h>

#include "checks/support/wording.hpp"

namespace beadwise::checks {

bool is_bowden(const MachineProfile& machine) { return machine.drive.known() && *machine.drive == Drive::bowden; }

std::string pull_back_remedy(const MachineProfile& machine, const TypicalValue& pulled_mm) {
  if (!pulled_mm.empty())
    return fmt::format("Pull back {} mm before these travels, too, as the file does elsewhere.",
                       figure(pulled_mm.median(), 1));
  if (machine.drive.stated())
    return fmt::format(
        "Pull back {} mm before these travels, which is usual for a {} drive.",
        figure(is_bowden(machine) ? PullBackLengths::usual_bowden_mm : PullBackLengths::usual_direct_mm, 1),
        to_string(*machine.drive));
  return fmt::format("Pull back before these travels: {} mm are usual for a direct drive, {} mm through a guide tube.",
                     figure(PullBackLengths::usual_direct_mm, 1), figure(PullBackLengths::usual_bowden_mm, 1));
}

}  // namespace beadwise::checks
