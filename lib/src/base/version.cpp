#include "beadwise/version.hpp"

namespace beadwise {

std::string_view version() { return BEADWISE_VERSION; }

}  // namespace beadwise
