#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/report.hpp"
#include "report/json_value.hpp"

namespace beadwise {

/// What other parts of a log point at by number: the checks that were asked for, in order of name, and the files, in
/// their own order. A file that was named twice stands there once.
class SarifIndex {
 public:
  explicit SarifIndex(std::span<const FileReport> reports);

  const std::vector<const RegisteredCheck*>& checks() const { return checks_; }
  bool has(std::string_view check) const { return numbers_of_checks_.find(check) != numbers_of_checks_.end(); }
  std::size_t number_of(std::string_view check) const { return numbers_of_checks_.find(check)->second; }
  /// {"id": …, "index": …}
  Json rule(std::string_view check) const;

  /// One report of each file.
  const std::vector<const FileReport*>& files() const { return files_; }
  /// {"uri": …, "index": …}
  Json file(std::string_view name) const;

 private:
  std::vector<const RegisteredCheck*> checks_;
  std::map<std::string, std::size_t, std::less<>> numbers_of_checks_;
  std::vector<const FileReport*> files_;
  std::map<std::string, std::size_t, std::less<>> numbers_of_uris_;
};

}  // namespace beadwise
