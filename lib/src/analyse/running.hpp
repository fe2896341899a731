#pragma once

#include <memory>

#include "beadwise/check.hpp"

namespace beadwise {

/// A check at work on one file.
struct Running {
  const RegisteredCheck* registered = nullptr;
  std::unique_ptr<CheckContext> context;
  std::unique_ptr<Check> check;
  Findings findings;

  Needs needs() const { return registered->describe().needs; }
};

}  // namespace beadwise
