#include <algorithm>
#include <atomic>
#include <exception>
#include <new>
#include <system_error>
#include <thread>

#include "analyse/cores.hpp"
#include "beadwise/analyse.hpp"

namespace beadwise {

std::vector<FileReport> analyse_all(std::span<const Source> sources, const AnalyseOptions& options) {
  std::vector<FileReport> reports(sources.size());
  std::vector<std::exception_ptr> failures(sources.size());
  std::atomic<std::size_t> next{0};
  const std::size_t cores = cores_for(options);
  AnalyseOptions of_one = options;
  of_one.threads = static_cast<unsigned>(std::max<std::size_t>(1, cores / std::max<std::size_t>(1, sources.size())));
  const auto work = [&] {
    for (std::size_t i = next++; i < sources.size(); i = next++) {
      try {
        reports[i] = analyse(sources[i], of_one);
      } catch (const std::bad_alloc&) {
        reports[i] = {};
        reports[i].file = sources[i].name;
        reports[i].failure = "there is not enough memory to read it: use fewer --threads, or check it alone";
      } catch (...) {
        failures[i] = std::current_exception();
      }
    }
  };
  std::vector<std::thread> threads;
  threads.reserve(cores);
  try {
    for (std::size_t i = 1; i < std::min(cores, sources.size()); ++i) threads.emplace_back(work);
  } catch (const std::system_error&) {
    // Where the system has no more threads, those there are do the work.
  }
  work();
  for (std::thread& thread : threads) thread.join();
  for (const std::exception_ptr& failure : failures)
    if (failure) std::rethrow_exception(failure);
  return reports;
}

}  // namespace beadwise
