#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace beadwise::cli {

/// What CLI11 fills in; texts still, so that every wrong one gets a sentence of ours.
struct Given {
  std::vector<std::string> files;
  std::string check;
  std::string format = "text";
  std::vector<std::string> outs;
  std::string gate = "error";
  std::string per = "job";
  std::string series;
  std::string color = "auto";
  std::string threads;
  std::string max_bytes;
  std::string profile;
  std::vector<std::string> sets;
  std::vector<std::string> only;
  std::vector<std::string> skip;
  std::string report_data;
  std::string baseline;
  std::string write_baseline;
  std::string before;
  std::string after;
  std::vector<std::string> symptoms;
  std::string layer;
  std::string height;
  std::string at;
  bool quiet = false;
};

/// Gives `app` the program's commands and options, which fill `given`. The help, the manual pages and the completion of
/// shells are all made from this table.
void fill_option_table(CLI::App& app, Given& given);

}  // namespace beadwise::cli
