#include "beadwise/profile.hpp"

namespace beadwise {

std::string_view to_string(Severity severity) {
  switch (severity) {
    case Severity::note:
      return "note";
    case Severity::warning:
      return "warning";
    case Severity::error:
      return "error";
  }
  return "";
}

std::string_view to_string(Origin origin) {
  switch (origin) {
    case Origin::built_in:
      return "built-in";
    case Origin::file:
      return "file";
    case Origin::profile:
      return "profile";
    case Origin::command_line:
      return "command-line";
  }
  return "";
}

std::string_view to_string(EUnit unit) {
  switch (unit) {
    case EUnit::automatic:
      return "auto";
    case EUnit::mm:
      return "mm";
    case EUnit::mm3:
      return "mm3";
    case EUnit::neither:
      return "neither";
  }
  return "";
}

std::string_view to_string(Drive drive) {
  switch (drive) {
    case Drive::automatic:
      return "auto";
    case Drive::direct:
      return "direct";
    case Drive::bowden:
      return "bowden";
  }
  return "";
}

}  // namespace beadwise
