#pragma once

#include <string>
#include <string_view>

#include "beadwise/report.hpp"

namespace beadwise {

/// Where a finding stands on the page.
struct FindingOnPage {
  std::size_t number = 0;  ///< from 1, in its file
  std::string id;          ///< "f1-3"
  int heading = 3;         ///< level of its heading
  bool drawn = true;       ///< with a picture, where there is one
};

/// "Dense retraction" for `dense-retraction`.
std::string title_of(std::string_view check);

/// One finding: how bad, its picture, what, why, what now, what to mind, measured against which limit, all its places.
std::string finding_html(const FileReport& report, const Finding& finding, const FindingOnPage& page);

}  // namespace beadwise
