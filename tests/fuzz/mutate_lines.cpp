// Changes jobs by whole lines and whole numbers, besides libFuzzer's own changes of bytes: most bytes changed at random
// make no print. For libFuzzer alone; a replay changes nothing.

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <random>
#include <string>
#include <string_view>
#include <vector>

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t most);
extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t most, unsigned seed);

namespace {

using Random = std::minstd_rand;

std::vector<std::string> lines_of(std::string_view job) {
  std::vector<std::string> lines;
  while (!job.empty()) {
    const std::size_t end = std::min(job.find('\n'), job.size() - 1) + 1;
    lines.emplace_back(job.substr(0, end));
    job.remove_prefix(end);
  }
  return lines;
}

/// Another number in the place of one of the line's.
void change_number(std::string& line, Random& random) {
  static const std::vector<std::string> numbers{"0",   "0.2", "1",      "-1",  "10",
                                                "100", "0.4", "-0.001", "250", "999999999"};
  const std::size_t first = line.find_first_of("0123456789", random() % line.size());
  if (first == std::string::npos) return;
  const std::size_t end = std::min(line.find_first_not_of("0123456789.", first), line.size());
  line.replace(first, end - first, numbers[random() % numbers.size()]);
}

void change(std::vector<std::string>& lines, Random& random) {
  const auto any = [&] { return static_cast<std::ptrdiff_t>(random() % lines.size()); };
  const std::ptrdiff_t at = any();
  const std::ptrdiff_t other = any();
  switch (random() % 6) {
    case 0:
      lines.insert(lines.begin() + at, lines[static_cast<std::size_t>(other)]);
      return;
    case 1:
      lines.erase(lines.begin() + at);
      return;
    case 2:
      std::swap(lines[static_cast<std::size_t>(at)], lines[static_cast<std::size_t>(other)]);
      return;
    case 3: {  // a stretch once more, as a layer of the same shape
      const std::vector<std::string> stretch(lines.begin() + std::min(at, other), lines.begin() + std::max(at, other));
      lines.insert(lines.end(), stretch.begin(), stretch.end());
      return;
    }
    default:
      change_number(lines[static_cast<std::size_t>(at)], random);
  }
}

}  // namespace

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t most, unsigned seed) {
  Random random(seed + 1);
  if (size == 0 || random() % 2 == 0) return LLVMFuzzerMutate(data, size, most);
  std::vector<std::string> lines = lines_of({reinterpret_cast<const char*>(data), size});
  for (auto times = 1 + random() % 4; times > 0 && !lines.empty(); --times) change(lines, random);
  std::string job;
  for (const std::string& line : lines) job += line;
  job.resize(std::min(job.size(), most));
  std::memcpy(data, job.data(), job.size());
  return job.size();
}
