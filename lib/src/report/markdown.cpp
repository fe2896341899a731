#include "beadwise/error.hpp"
#include "beadwise/report.hpp"

namespace beadwise {

std::string check_as_markdown(std::span<const FileReport>) {
  throw Error(ErrorKind::usage, "", 0, 0, "This format cannot be written yet.");
}

}  // namespace beadwise
