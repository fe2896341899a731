#include "beadwise/error.hpp"

#include <utility>

namespace beadwise {

namespace {

std::string with_place(const std::string& file, std::uint64_t line, std::uint64_t column, const std::string& sentence) {
  std::string text = file;
  if (line > 0) text += ':' + std::to_string(line);
  if (line > 0 && column > 0) text += ':' + std::to_string(column);
  return text.empty() ? sentence : text + ": " + sentence;
}

}  // namespace

Error::Error(ErrorKind kind, std::string file, std::uint64_t line, std::uint64_t column, std::string sentence)
    : std::runtime_error(with_place(file, line, column, sentence)),
      kind_(kind),
      file_(std::move(file)),
      line_(line),
      column_(column),
      sentence_(std::move(sentence)) {}

}  // namespace beadwise
