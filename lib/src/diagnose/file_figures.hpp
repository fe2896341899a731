#pragma once

#include <map>
#include <string>
#include <string_view>

#include "beadwise/profile.hpp"
#include "beadwise/report.hpp"

namespace beadwise {

/// Figures of one job in words, by the names that `Bearing::ruled_out` uses; the limits of checks as they were in use.
class FileFigures {
 public:
  FileFigures(const FileReport& report, const Profile& stated);

  /// The sentence with its figures filled in, as `Bearing` says. A figure that is unknown outside of brackets stays a
  /// name in braces.
  std::string filled(std::string_view check, std::string_view sentence) const;

 private:
  /// Empty where unknown.
  std::string figure(std::string_view check, std::string_view name) const;
  bool fill(std::string_view check, std::string_view text, std::string& out) const;

  const FileReport& report_;
  std::map<std::string, std::string, std::less<>> figures_;
};

}  // namespace beadwise
