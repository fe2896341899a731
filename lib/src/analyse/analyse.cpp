#include "beadwise/analyse.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <deque>
#include <map>
#include <memory>
#include <set>
#include <system_error>

#include "analyse/batch_follower.hpp"
#include "analyse/cores.hpp"
#include "analyse/kept_input.hpp"
#include "analyse/layer_side.hpp"
#include "analyse/line_spots.hpp"
#include "analyse/name_objects.hpp"
#include "analyse/pictures.hpp"
#include "beadwise/check.hpp"
#include "beadwise/error.hpp"
#include "finding/accept.hpp"
#include "gcode/parse_block.hpp"
#include "machine/machine.hpp"
#include "model/bead_geometry.hpp"
#include "model/extruder_mode.hpp"
#include "model/figure_counter.hpp"
#include "model/guess.hpp"
#include "model/job_nature.hpp"
#include "model/layer_builder.hpp"
#include "model/melt_zone.hpp"
#include "model/nozzle_force.hpp"
#include "model/time_series.hpp"
#include "text/block_reader.hpp"

namespace beadwise {

namespace {

// What is guessed is guessed from the lines that begin before this byte of a job: some layers of any print.
constexpr std::uint64_t evidence_bytes = 2 * 1024 * 1024;
constexpr std::size_t most_unknown = 20;
constexpr std::size_t most_macros = 5;
constexpr std::size_t longest_text = 200;
constexpr double mm3_per_cm3 = 1000;

/// Reads a job block by block and looks at it as text.
class Lines {
 public:
  Lines(const Source& source, const AnalyseOptions& options)
      : name_(source.name), options_(options), reader_(source, options.block_bytes) {}

  bool next(ParsedBlock& parsed) {
    if (!reader_.next(block_)) return false;
    bytes_ = block_.offset + block_.bytes.size();
    ends_inside_line_ = !block_.bytes.empty() && block_.bytes.back() != '\n' && block_.bytes.back() != '\r';
    parse_block(block_, parsed);
    for (std::size_t i = parsed.size(); i-- > 0;) {
      const Line line = parsed.line(i);
      if (line.text.find_first_not_of(" \t") == std::string_view::npos) continue;
      last_text_ = line.text.substr(0, longest_text);
      last_text_line_ = line.number;
      break;
    }
    if (options_.progress) options_.progress(name_, bytes_);
    return true;
  }

  const BlockReader& reader() const { return reader_; }
  bool ends_inside_line() const { return ends_inside_line_; }
  const std::string& last_text() const { return last_text_; }
  std::uint64_t last_text_line() const { return last_text_line_; }

 private:
  std::string name_;
  const AnalyseOptions& options_;
  BlockReader reader_;
  Block block_;
  std::uint64_t bytes_ = 0;
  bool ends_inside_line_ = false;
  std::string last_text_;
  std::uint64_t last_text_line_ = 0;
};

/// The first blocks of a job, kept while guesses are made from them.
struct Beginning {
  std::deque<ParsedBlock> blocks;
  bool whole_job = false;

  explicit Beginning(Lines& lines) {
    while (true) {
      ParsedBlock block;
      if (!lines.next(block)) {
        whole_job = true;
        return;
      }
      const bool enough = block.size() > 0 && block.line(block.size() - 1).offset >= evidence_bytes;
      blocks.push_back(std::move(block));
      if (enough) return;
    }
  }
};

void fill_from_file(Profile& profile, const Beginning& beginning) {
  Evidence evidence;
  MachineSetup setup = setup_from(profile.machine);
  setup.filament_diameter_mm = Evidence::assumed_diameter_mm;
  setup.e_unit = EUnit::mm;
  Machine machine(setup);
  LayerBuilder layers(Evidence::assumed_diameter_mm, EUnit::mm);
  MoveBatch batch;
  const auto on_layer = [&](const Layer& layer) { evidence.on_layer(layer); };
  const auto drain = [&] {
    while (machine.next(batch)) {
      evidence.on_moves(batch);
      layers.on_moves(batch, on_layer);
    }
  };
  for (const ParsedBlock& block : beginning.blocks) {
    machine.read(block, evidence_bytes);
    drain();
    for (std::size_t i = 0; i < block.size(); ++i) {
      const Line line = block.line(i);
      if (!line.comment.empty() && line.offset < evidence_bytes) evidence.on_comment(line.comment, line.number);
    }
  }
  machine.finish();
  drain();
  layers.finish(on_layer);
  evidence.set_named_filament_diameter(machine.named_filament_diameter_mm());
  evidence.fill(profile);
}

bool is_wanted(const RegisteredCheck& check, const AnalyseOptions& options) {
  const auto names = [&](const std::vector<std::string>& list) {
    return std::find(list.begin(), list.end(), check.name) != list.end();
  };
  if (!options.run_checks) return false;
  return (options.only.empty() || names(options.only)) && !names(options.skip);
}

void refuse_unknown_names(const AnalyseOptions& options) {
  for (const auto* list : {&options.only, &options.skip})
    for (const std::string& name : *list) {
      const auto checks = all_checks();
      if (std::any_of(checks.begin(), checks.end(), [&](const RegisteredCheck& check) { return check.name == name; }))
        continue;
      throw Error(ErrorKind::usage, "", 0, 0,
                  fmt::format("there is no check `{}`; `beadwise checks` lists them", name));
    }
}

/// What was read past: commands nobody follows, and macros that may do anything.
class ReadPast {
 public:
  void on_moves(const MoveBatch& batch) {
    for (const Event& event : batch.events) {
      if (event.kind != EventKind::macro && event.kind != EventKind::unknown_command) continue;
      // A hostile file can hold a million names; those that come first are kept.
      constexpr std::size_t most_names = 4096;
      const auto found = counts_.find(event.text);
      if (found != counts_.end())
        ++found->second;
      else if (counts_.size() < most_names)
        counts_.emplace(event.text, 1);
      else
        all_counted_ = false;
      if (event.kind != EventKind::macro || !event.may_heat ||
          std::any_of(macros_.begin(), macros_.end(), [&](const auto& one) { return one.first == event.text; }))
        continue;
      if (macros_.size() < most_macros)
        macros_.emplace_back(event.text, event.line);
      else
        ++more_macros_;
    }
  }

  std::vector<NamedCount> most_frequent() const {
    std::vector<NamedCount> all;
    for (const auto& [name, count] : counts_) all.push_back({name, count});
    std::stable_sort(all.begin(), all.end(),
                     [](const NamedCount& a, const NamedCount& b) { return a.count > b.count; });
    if (all.size() > most_unknown) all.resize(most_unknown);
    return all;
  }

  std::vector<std::string> unseen() const {
    std::vector<std::string> sentences;
    for (const auto& [name, line] : macros_)
      sentences.push_back(fmt::format(
          "`{}` on line {} is a macro of the machine: what it heats, homes, moves or ends does not stand in the file.",
          name, line));
    if (more_macros_ > 0)
      sentences.push_back(more_macros_ == 1 ? "Another line calls such a macro, too."
                                            : fmt::format("{} more lines call such macros, too.", more_macros_));
    if (counts_.size() > most_unknown)
      sentences.push_back(fmt::format("Of {}{} different commands that were passed over the {} most frequent are told.",
                                      all_counted_ ? "" : "more than ", counts_.size(), most_unknown));
    return sentences;
  }

 private:
  std::map<std::string, std::uint64_t, std::less<>> counts_;
  bool all_counted_ = true;
  std::vector<std::pair<std::string, std::uint64_t>> macros_;
  std::uint64_t more_macros_ = 0;  ///< lines
};

/// The analysis of one job, from its first block to its report.
class Analysis {
 public:
  Analysis(const AnalyseOptions& options, Profile profile, FileReport& report)
      : options_(options),
        profile_(std::move(profile)),
        report_(report),
        machine_(setup_from(profile_.machine)),
        figures_(diameter_mm()),
        // Objects are named in findings of every check.
        layer_side_(profile_, {.stack = options.run_checks || options.per_object, .heights = options.per_layer}) {
    figures_.keep_layers(options.per_layer);
    if (!options.run_checks || options.follow_melt || options.melt_series) follow_melt();
    for (const RegisteredCheck& registered : all_checks()) start(registered);
  }

  const Profile& profile() const { return profile_; }

  /// From here on what needs layers follows on a thread of its own.
  void use_second_thread() {
    if (!layer_side_.wanted()) return;
    const auto follow = [this](const MoveBatch& batch) {
      layer_side_.on_moves(batch);
      // While one layer is judged the next is read: so many as have 200,000 beads, no more.
      constexpr std::size_t most_waiting = 48;
      return std::min(most_waiting, layer_side_.most_beads() / std::max<std::size_t>(1, batch.moves.size()));
    };
    try {
      follower_.emplace(follow);
    } catch (const std::system_error&) {
      // Where the system has no more threads, this one does it all.
    }
  }

  void read(const ParsedBlock& block) {
    if (beginning_.size() < JobNature::beginning_bytes)
      beginning_ += block.bytes().substr(0, JobNature::beginning_bytes - beginning_.size());
    machine_.read(block);
    drain();
  }

  void finish(const Lines& lines) {
    machine_.finish();
    drain();
    if (follower_) follower_->finish();
    layer_side_.finish();
    nature_.on_beginning(beginning_);
    const JobSummary summary = summarise(lines);
    for_each_running([&](Running& one) { one.check->on_end(summary, one.findings); });
    write_report(summary);
  }

 private:
  double diameter_mm() const { return *profile_.machine.filament_diameter_mm; }

  void start(const RegisteredCheck& registered) {
    if (!is_wanted(registered, options_)) return;
    const auto stated = profile_.checks.find(registered.name);
    if (stated != profile_.checks.end() && stated->second.off) {
      report_.checks.push_back(
          {std::string(registered.name), false, fmt::format("switched off by {}", stated->second.stated_at), 0});
      return;
    }
    Running one;
    one.registered = &registered;
    one.context = std::make_unique<CheckContext>(CheckContext{registered.name, profile_, registered.describe()});
    one.check = registered.make(*one.context);
    if (one.needs() >= Needs::beads)
      layer_side_.add(std::move(one));
    else
      running_.push_back(std::move(one));
  }

  template <class Act>
  void for_each_running(Act&& act) {
    for (Running& one : running_) act(one);
    for (Running& one : layer_side_.running()) act(one);
  }

  void follow_melt() {
    const std::optional<MeltSetup> setup = melt_setup_from(profile_);
    if (!setup) return;
    melt_.emplace(*setup);
    melt_->keep_layers(options_.per_layer);
  }

  bool wants_series() const { return options_.melt_series || options_.series != Series::none; }

  void record_series(std::span<const MeltSample> melt) {
    if (options_.melt_series || options_.series == Series::core) {
      for (const MeltSample& sample : melt)
        series_.add_point(sample.time_s, options_.melt_series ? sample.flow_asked_mm3_per_s : sample.core_c);
      return;
    }
    const bool flow = options_.series == Series::flow;
    const double filament_mm2 = circle_area_mm2(diameter_mm());
    for (const Move& move : batch_.moves) {
      if (move.path_mm <= 0 || (flow && move.kind != MoveKind::bead)) continue;
      const double factor = flow ? move.filament_mm * filament_mm2 / move.path_mm : 1;
      for_each_phase(move, [&](double start_s, double duration_s, double first, double last) {
        series_.add(start_s, duration_s, factor * first, factor * last);
      });
    }
  }

  void drain() {
    while (machine_.next(batch_)) {
      std::span<const MeltSample> melt;
      if (melt_) melt = melt_->on_moves(batch_);
      if (wants_series()) record_series(melt);
      figures_.on_moves(batch_);
      nature_.on_moves(batch_);
      if (options_.run_checks) extruder_mode_.on_moves(batch_);
      read_past_.on_moves(batch_);
      for (Running& one : running_) one.check->on_moves(batch_, one.findings);
      if (follower_)
        follower_->give(batch_);
      else
        layer_side_.on_moves(batch_);
    }
  }

  JobSummary summarise(const Lines& lines) {
    JobSummary summary;
    summary.figures = figures_.figures();
    summary.figures.bytes = lines.reader().bytes();
    summary.figures.lines = lines.reader().lines();
    if (profile_.filament.density_g_per_cm3.known())
      summary.figures.filament_mass_g = summary.figures.filament_fed_mm * circle_area_mm2(diameter_mm()) / mm3_per_cm3 *
                                        *profile_.filament.density_g_per_cm3;
    if (melt_ && melt_->coldest()) summary.figures.core_c_min = melt_->coldest()->core_c;
    if ((!options_.run_checks || options_.follow_melt) && summary.figures.nozzle_c)
      summary.figures.feed_force_n = force_n(summary.figures.peak_flow_mm3_per_s, summary.figures.nozzle_c->low);
    summary.settings = machine_.settings();
    summary.end_mm = machine_.position_mm();
    summary.ends_inside_line = lines.ends_inside_line();
    summary.last_text = lines.last_text();
    summary.last_text_line = lines.last_text_line();
    summary.not_a_print = nature_.not_a_print();
    summary.extruder_switched = nature_.extruder_switched();
    summary.e_misread = extruder_mode_.misread();
    summary.first_drawn = extruder_mode_.first();
    return summary;
  }

  void write_report(const JobSummary& summary) {
    report_.job = summary.figures;
    Findings all;
    for_each_running([&](Running& one) {
      const bool text_alone = summary.not_a_print && !one.registered->describe().judges_text;
      CheckState state{std::string(one.registered->name), !text_alone, std::nullopt, 0};
      if (text_alone)
        state.because = "the file is not a print of material extrusion";
      else if (auto because = one.check->skipped()) {
        state.ran = false;
        state.because = std::move(because);
      }
      if (!text_alone) state.findings = hand_over(one, all);
      report_.checks.push_back(std::move(state));
    });
    report_.stated_checks = profile_.checks;
    std::sort(report_.checks.begin(), report_.checks.end(),
              [](const CheckState& a, const CheckState& b) { return a.check < b.check; });
    report_.findings = all.take();
    name_objects(layer_side_.objects(), report_.findings);
    accept_stated();
    report_.unknown = read_past_.most_frequent();
    report_.unseen = read_past_.unseen();
    if (!summary.not_a_print) report_.assumptions = assumptions();
    if (options_.per_layer) {
      report_.layers = figures_.layers();
      const std::vector<double>& heights_mm = layer_side_.heights_mm();
      for (std::size_t i = 0; i < report_.layers.size() && i < heights_mm.size(); ++i)
        report_.layers[i].height_mm = heights_mm[i];
      if (melt_) add_cores(report_.layers);
      if (summary.figures.nozzle_c)
        for (LayerFigures& layer : report_.layers)
          layer.feed_force_n = force_n(layer.mean_flow_mm3_per_s, summary.figures.nozzle_c->low);
    }
    report_.objects = layer_side_.objects().objects();
    if (wants_series()) report_.series = series_.rows();
  }

  /// Of an acceptance only a check that judged the file says that it met nothing.
  void accept_stated() {
    for (const Accepted* unused : accept(profile_.accepted, report_.file, report_.findings)) {
      const auto ran = [&](const CheckState& state) { return state.check == unused->check && state.ran; };
      if (std::none_of(report_.checks.begin(), report_.checks.end(), ran)) continue;
      report_.unused_acceptances.push_back(
          {.check = unused->check, .where = unused->where, .from = unused->stated_at, .in_profile = true});
    }
  }

  std::uint64_t hand_over(Running& one, Findings& all) const {
    std::vector<Finding> findings = one.findings.take();
    const auto stated = profile_.checks.find(one.registered->name);
    for (Finding& finding : findings) {
      finding.check = one.registered->name;
      if (stated != profile_.checks.end() && stated->second.severity) finding.severity = *stated->second.severity;
      all.add(finding);
    }
    return findings.size();
  }

  // Of materials that a guess left open, the first, as for their other numbers; at the coldest set point of the job.
  std::optional<double> force_n(double flow_mm3_per_s, double nozzle_c) const {
    if (!profile_.filament.material.known()) return std::nullopt;
    const std::string_view materials = *profile_.filament.material;
    return nozzle_force_n(profile_.machine, materials.substr(0, materials.find(' ')), flow_mm3_per_s, nozzle_c);
  }

  void add_cores(std::vector<LayerFigures>& layers) const {
    auto layer = layers.begin();
    for (const LayerCore& core : melt_->layers()) {
      while (layer != layers.end() && layer->layer < core.layer) ++layer;
      if (layer != layers.end() && layer->layer == core.layer) layer->core_c_min = core.core_c;
    }
  }

  std::vector<Assumption> assumptions() const;

  const AnalyseOptions& options_;
  const Profile profile_;
  FileReport& report_;
  Machine machine_;
  FigureCounter figures_;
  JobNature nature_;
  ExtruderMode extruder_mode_;
  ReadPast read_past_;
  std::optional<MeltRecord> melt_;
  TimeSeries series_;
  std::vector<Running> running_;  ///< those that need moves alone
  LayerSide layer_side_;
  MoveBatch batch_;
  std::string beginning_;
  std::optional<BatchFollower> follower_;  ///< the last member: what it works on outlives it
};

std::vector<Assumption> Analysis::assumptions() const {
  std::vector<Assumption> list;
  const auto number = [&](const char* key, const Setting<double>& setting) {
    if (setting.known()) list.push_back({key, *setting, setting.from, setting.because});
  };
  const MachineProfile& machine = profile_.machine;
  number("machine.nozzle_diameter_mm", machine.nozzle_diameter_mm);
  number("machine.filament_diameter_mm", machine.filament_diameter_mm);
  list.push_back(
      {"machine.e_unit", std::string(to_string(*machine.e_unit)), machine.e_unit.from, machine.e_unit.because});
  if (machine.drive.known())
    list.push_back(
        {"machine.drive", std::string(to_string(*machine.drive)), machine.drive.from, machine.drive.because});
  number("machine.max_acceleration_mm_per_s2", machine.max_acceleration_mm_per_s2);
  number("machine.corner_speed_mm_per_s", machine.corner_speed_mm_per_s);
  const FilamentProfile& filament = profile_.filament;
  if (filament.material.known())
    list.push_back({"filament.material", *filament.material, filament.material.from, filament.material.because});
  number("filament.density_g_per_cm3", filament.density_g_per_cm3);
  return list;
}

}  // namespace

ProfileRequest profile_request(const Source& source, const AnalyseOptions& options) {
  ProfileRequest request;
  request.file = options.profile;
  request.sets = options.sets;
  std::error_code gone;  // where the current folder was removed, there is no profile to find
  if (source.kind == Source::Kind::file) {
    request.job_folder = std::filesystem::absolute(source.path, gone).parent_path();
  } else if (source.kind == Source::Kind::standard_input) {
    request.job_folder = std::filesystem::current_path(gone);
  }
  return request;
}

FileReport analyse(const Source& source, const AnalyseOptions& options) {
  refuse_unknown_names(options);
  FileReport report;
  report.file = source.name;
  const std::vector<KnownCheck> known = known_checks();
  Profile profile = load_profile(profile_request(source, options), known);
  try {
    const bool draws = options.report_data != ReportData::none;
    const bool twice = draws || options.line_spots;
    const std::optional<KeptInput> kept = twice ? std::make_optional<KeptInput>(source) : std::nullopt;
    const Source& input = twice ? kept->source() : source;
    Lines lines(input, options);
    Beginning beginning(lines);
    fill_from_file(profile, beginning);
    Analysis analysis(options, std::move(profile), report);
    if (cores_for(options) > 1 && beginning.blocks.size() > 1) analysis.use_second_thread();
    for (; !beginning.blocks.empty(); beginning.blocks.pop_front()) analysis.read(beginning.blocks.front());
    ParsedBlock block;
    while (!beginning.whole_job && lines.next(block)) analysis.read(block);
    analysis.finish(lines);
    report.sha256 = lines.reader().sha256();
    report.packed = lines.reader().packed();
    if (draws) add_pictures(input, options, analysis.profile(), report);
    if (options.line_spots) add_line_spots(input, options.block_bytes, report);
  } catch (const Error& error) {
    if (error.kind() != ErrorKind::file) throw;
    FileReport failed;
    failed.file = source.name;
    failed.failure = error.line() > 0 ? fmt::format("line {}: {}", error.line(), error.sentence()) : error.sentence();
    return failed;
  }
  return report;
}

Profile profile_in_use(const Source& source, const AnalyseOptions& options) {
  const std::vector<KnownCheck> known = known_checks();
  Profile profile = load_profile(profile_request(source, options), known);
  Lines lines(source, options);
  const Beginning beginning(lines);
  fill_from_file(profile, beginning);
  return profile;
}

}  // namespace beadwise
