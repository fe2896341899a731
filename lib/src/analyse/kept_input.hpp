#pragma once

#include "beadwise/source.hpp"

namespace beadwise {

/// A job that can be read more than once: what comes in on standard input or through a pipe goes to a temporary file,
/// which has no name and so is gone however the program ends; other jobs stay what they are.
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
  int temporary_ = -1;
};

}  // namespace beadwise
