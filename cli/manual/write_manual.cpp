#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <fstream>
#include <stdexcept>

#include "cli/manual/command_tree.hpp"
#include "cli/manual/completion.hpp"
#include "cli/manual/man_page.hpp"
#include "cli/option_table.hpp"

namespace {

using namespace beadwise::cli;

void write(const std::filesystem::path& path, const std::string& text) {
  std::filesystem::create_directories(path.parent_path());
  std::ofstream file(path, std::ios::binary);
  file << text;
  if (!file.flush()) throw std::runtime_error(path.string() + " cannot be written.");
}

void write_all(const std::filesystem::path& folder) {
  CLI::App app("", "beadwise");
  Given given;
  fill_option_table(app, given);
  const CommandRow root = command_tree(app);
  for (const CommandRow* command : with_all_below(root))
    write(folder / "man1" / (joined_path(*command, "-") + ".1"), man_page(*command, root));
  write(folder / "bash" / "beadwise", bash_completion(root));
  write(folder / "zsh" / "_beadwise", zsh_completion(root));
  write(folder / "fish" / "beadwise.fish", fish_completion(root));
}

}  // namespace

/// Writes the manual pages and the completion of shells into a folder: `beadwise_manual FOLDER`.
int main(int argc, char** argv) {
  if (argc != 2) {
    std::fputs("usage: beadwise_manual FOLDER\n", stderr);
    return 2;
  }
  try {
    write_all(argv[1]);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
  return 0;
}
