#include "beadwise/source.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <string_view>
#include <system_error>
#include <utility>

#include "base/lower_case.hpp"
#include "beadwise/error.hpp"

namespace beadwise {

namespace {

namespace fs = std::filesystem;

bool is_named_as_a_job(const fs::path& path) {
  std::string name = lower_case(path.filename().string());
  if (name.ends_with(".gz")) name.resize(name.size() - 3);
  const std::array<std::string_view, 3> endings = {".gcode", ".gco", ".g"};
  return std::any_of(endings.begin(), endings.end(),
                     [&](std::string_view ending) { return name.size() > ending.size() && name.ends_with(ending); });
}

/// A pipe that nobody meant would be waited for without end. A link that leads nowhere is a job that cannot be read.
bool may_be_a_job(const fs::directory_entry& entry) {
  std::error_code ignored;
  return !entry.exists(ignored) || entry.is_regular_file(ignored);
}

std::vector<Source> jobs_of_folder(const fs::path& folder) {
  std::error_code error;
  std::vector<fs::path> paths;
  for (fs::directory_iterator entry(folder, error); !error && entry != fs::directory_iterator();
       entry.increment(error)) {
    if (is_named_as_a_job(entry->path()) && may_be_a_job(*entry)) paths.push_back(entry->path());
  }
  if (error) {
    throw Error(ErrorKind::usage, folder.string(), 0, 0,
                "this folder cannot be listed (" + error.message() + "): change its permissions or name the files");
  }
  if (paths.empty()) {
    throw Error(ErrorKind::usage, folder.string(), 0, 0,
                "this folder holds no *.gcode, *.gco or *.g file: name the files, or another folder");
  }
  std::sort(paths.begin(), paths.end());
  std::vector<Source> sources;
  for (const fs::path& path : paths) sources.push_back(Source::file(path));
  return sources;
}

}  // namespace

Source Source::file(const std::filesystem::path& path) {
  Source source;
  source.name = path.string();
  source.path = path;
  return source;
}

Source Source::standard_input() {
  Source source;
  source.kind = Kind::standard_input;
  source.name = "standard input";
  return source;
}

Source Source::memory(std::string name, std::string bytes) {
  Source source;
  source.kind = Kind::memory;
  source.name = std::move(name);
  source.bytes = std::move(bytes);
  return source;
}

std::vector<Source> sources_from_arguments(const std::vector<std::string>& arguments) {
  std::vector<Source> sources;
  for (const std::string& argument : arguments) {
    std::error_code error;
    if (argument == "-") {
      sources.push_back(Source::standard_input());
    } else if (fs::is_directory(argument, error)) {
      for (Source& job : jobs_of_folder(argument)) sources.push_back(std::move(job));
    } else {
      sources.push_back(Source::file(argument));
    }
  }
  return sources;
}

}  // namespace beadwise
