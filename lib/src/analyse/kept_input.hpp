#pragma once

#include <filesystem>

#include "beadwise/source.hpp"

namespace beadwise {

/// A job that can be read more than once: what comes in on standard input goes to a temporary file, which this object
/// takes away again; other jobs stay what they are.
class KeptInput {
 public:
  /// Throws Error{file} where standard input cannot be read or the file cannot be written.
  explicit KeptInput(const Source& source);
  ~KeptInput();
  KeptInput(const KeptInput&) = delete;
  KeptInput& operator=(const KeptInput&) = delete;

  const Source& source() const { return source_; }

 private:
  Source source_;
  std::filesystem::path temporary_;
};

}  // namespace beadwise
