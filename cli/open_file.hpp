#pragma once

#include <cstdio>
#include <memory>

namespace beadwise::cli {

struct CloseFile {
  void operator()(std::FILE* file) const { std::fclose(file); }
};

/// A stream that is closed where it goes out of sight.
using OpenFile = std::unique_ptr<std::FILE, CloseFile>;

}  // namespace beadwise::cli
