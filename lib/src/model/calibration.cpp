#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <span>
#include <unsupported/Eigen/NonLinearOptimization>
#include <vector>

#include "beadwise/calibrate.hpp"
#include "beadwise/error.hpp"
#include "model/cylinder_heating.hpp"
#include "model/melt_zone.hpp"

namespace beadwise {

namespace {

constexpr std::size_t least_rows = 3;  // two unknowns, and one row more to see the scatter
constexpr double confidence = 0.95;
// Regulated nozzles swing by some degrees, and slip is heard a few late: common practice.
constexpr double most_fall_c = 15;
// Temperatures are read in whole degrees: rounding alone scatters by 1/√12.
const double reading_scatter_c = 1 / std::sqrt(12.0);
constexpr double one_degree_c = 1;
constexpr double inlet_c = MeltSetup::room_c;

[[noreturn]] void refuse(const SlipTable& table, std::uint64_t line, const std::string& sentence) {
  throw Error(ErrorKind::usage, table.name, line, 0, sentence);
}

double fourier_of(double alpha_l_mm3_per_s, double flow_mm3_per_s) {
  return std::numbers::pi * alpha_l_mm3_per_s / flow_mm3_per_s;
}

/// Residuals of the rows; the unknowns are ln αL, so that αL stays above 0, and the flow temperature.
class CoreLessFlowTemperature {
 public:
  using Scalar = double;
  using InputType = Eigen::VectorXd;
  using ValueType = Eigen::VectorXd;
  using JacobianType = Eigen::MatrixXd;
  enum { InputsAtCompileTime = Eigen::Dynamic, ValuesAtCompileTime = Eigen::Dynamic };

  explicit CoreLessFlowTemperature(std::span<const SlipRow> rows)
      : rows_(rows), terms_(heating_terms(std::numeric_limits<double>::infinity(), term_count)) {}

  int values() const { return static_cast<int>(rows_.size()); }

  double core_c(const SlipRow& row, double alpha_l) const {
    return row.nozzle_c - (row.nozzle_c - inlet_c) * core_lag(terms_, fourier_of(alpha_l, row.flow_mm3_per_s));
  }

  /// Nozzle temperature at which the core leaves with the flow temperature.
  double slip_c(double flow_mm3_per_s, double alpha_l, double flow_temperature_c) const {
    const double lag = core_lag(terms_, fourier_of(alpha_l, flow_mm3_per_s));
    return (flow_temperature_c - inlet_c * lag) / (1 - lag);
  }

  int operator()(const InputType& unknowns, ValueType& residuals) const {
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      residuals[static_cast<Eigen::Index>(i)] = core_c(rows_[i], std::exp(unknowns[0])) - unknowns[1];
    }
    return 0;
  }

  int df(const InputType& unknowns, JacobianType& slopes) const {
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      const double fourier = fourier_of(std::exp(unknowns[0]), rows_[i].flow_mm3_per_s);
      slopes(static_cast<Eigen::Index>(i), 0) = -(rows_[i].nozzle_c - inlet_c) * lag_slope(fourier) * fourier;
      slopes(static_cast<Eigen::Index>(i), 1) = -1;
    }
    return 0;
  }

 private:
  static constexpr std::size_t term_count = 60;

  double lag_slope(double fourier) const {
    double slope = 0;
    for (const HeatingTerm& term : terms_) {
      slope -= term.core * term.root * term.root * std::exp(-term.root * term.root * fourier);
    }
    return slope;
  }

  std::span<const SlipRow> rows_;
  std::vector<HeatingTerm> terms_;
};

struct Start {
  double alpha_l = 0;
  double flow_temperature_c = 0;
};

double highest_flow(std::span<const SlipRow> rows) {
  const auto by_flow = [](const SlipRow& a, const SlipRow& b) { return a.flow_mm3_per_s < b.flow_mm3_per_s; };
  return std::max_element(rows.begin(), rows.end(), by_flow)->flow_mm3_per_s;
}

// For αL near 0 every core stays as cold as it came in, and the residuals vanish with a flow temperature of 25 °C: the
// best fit of all says nothing. The fit wanted is the minimum with the largest αL.
std::optional<Start> start_of(const CoreLessFlowTemperature& model, std::span<const SlipRow> rows) {
  // Fo at the highest flow: above 2 its core is as hot as the wall, below 0.03 as cold as it came in.
  constexpr double hot_fourier = 2;
  constexpr double cold_fourier = 0.03;
  constexpr int steps = 200;
  const double factor = std::pow(cold_fourier / hot_fourier, 1.0 / steps);
  double before = 0;
  double at = 0;
  Start start;
  for (int i = 0; i <= steps; ++i) {
    const double alpha_l = hot_fourier * std::pow(factor, i) * highest_flow(rows) / std::numbers::pi;
    Eigen::ArrayXd cores(static_cast<Eigen::Index>(rows.size()));
    for (std::size_t k = 0; k < rows.size(); ++k) cores[static_cast<Eigen::Index>(k)] = model.core_c(rows[k], alpha_l);
    const double squares = (cores - cores.mean()).square().sum();
    if (i > 1 && at < before && at <= squares) return start;
    before = at;
    at = squares;
    start = {alpha_l, cores.mean()};
  }
  return std::nullopt;
}

double mean_slope(std::span<const SlipRow> rows) {
  const auto count = static_cast<Eigen::Index>(rows.size());
  Eigen::ArrayXd flow(count);
  Eigen::ArrayXd nozzle(count);
  for (Eigen::Index i = 0; i < count; ++i) {
    flow[i] = rows[static_cast<std::size_t>(i)].flow_mm3_per_s;
    nozzle[i] = rows[static_cast<std::size_t>(i)].nozzle_c;
  }
  flow -= flow.mean();
  return (flow * nozzle).sum() / flow.square().sum();
}

void want_no_fall(const SlipTable& table) {
  std::vector<SlipRow> sorted = table.rows;
  std::stable_sort(sorted.begin(), sorted.end(),
                   [](const SlipRow& a, const SlipRow& b) { return a.flow_mm3_per_s < b.flow_mm3_per_s; });
  SlipRow hottest = sorted.front();
  for (const SlipRow& row : sorted) {
    if (row.flow_mm3_per_s > hottest.flow_mm3_per_s && hottest.nozzle_c - row.nozzle_c > most_fall_c) {
      refuse(
          table, row.line,
          fmt::format("contradicts line {}: {} mm³/s slipped only at {} °C, but {} mm³/s at {} °C already. More flow "
                      "needs a hotter nozzle; measure both rows again.",
                      hottest.line, row.flow_mm3_per_s, row.nozzle_c, hottest.flow_mm3_per_s, hottest.nozzle_c));
    }
    if (row.nozzle_c > hottest.nozzle_c) hottest = row;
  }
}

void want_rows_that_tell(const SlipTable& table) {
  const std::vector<SlipRow>& rows = table.rows;
  if (rows.size() < least_rows) {
    refuse(table, rows.empty() ? 0 : rows.back().line,
           fmt::format("the table has {} of slip; at least {} are needed, five or more are better.",
                       rows.empty()       ? "no row"
                       : rows.size() == 1 ? "one row"
                                          : "two rows",
                       least_rows));
  }
  const auto all_alike = [&](double SlipRow::*value) {
    return std::all_of(rows.begin(), rows.end(), [&](const SlipRow& row) { return row.*value == rows[0].*value; });
  };
  if (all_alike(&SlipRow::flow_mm3_per_s)) {
    refuse(table, rows.back().line,
           fmt::format("every row up to here has the flow {}; measure at flows at least three times apart.",
                       rows[0].flow_mm3_per_s));
  }
  if (all_alike(&SlipRow::nozzle_c)) {
    refuse(table, rows.back().line,
           fmt::format("every row up to here has the nozzle temperature {}; at one temperature there is one flow at "
                       "which the drive slips, so measure at other temperatures too.",
                       rows[0].nozzle_c));
  }
  want_no_fall(table);
  if (mean_slope(rows) <= 0) {
    refuse(
        table, rows.back().line,
        "up to here the nozzle temperature at slip does not rise with the flow, which a melt zone demands; check the "
        "order of the columns and measure again.");
  }
}

[[noreturn]] void refuse_as_flat(const SlipTable& table) {
  refuse(
      table, table.rows.back().line,
      "up to here the slip temperature does not rise clearly above the scatter of the rows: they show that the zone is "
      "long enough for these flows, not how long. Measure at higher flows too, within what the nozzle may be heated "
      "to.");
}

[[noreturn]] void refuse_as_open(const SlipTable& table) {
  refuse(
      table, table.rows.back().line,
      "the rows up to here do not settle the melt zone: with their scatter it could as well be of no length. Measure "
      "more rows, at flows farther apart, up to where the slip temperature has clearly risen.");
}

Eigen::VectorXd solved(const CoreLessFlowTemperature& model, const SlipTable& table) {
  const std::optional<Start> start = start_of(model, table.rows);
  if (!start) {
    refuse(
        table, table.rows.back().line,
        "no melt zone fits the rows up to here: slip temperatures rise slowly at first and then ever faster with the "
        "flow. Measure more rows, at flows farther apart, and the odd ones again.");
  }
  Eigen::VectorXd unknowns(2);
  unknowns << std::log(start->alpha_l), start->flow_temperature_c;
  CoreLessFlowTemperature residuals = model;
  Eigen::LevenbergMarquardt<CoreLessFlowTemperature> fit(residuals);
  const Eigen::LevenbergMarquardtSpace::Status status = fit.minimize(unknowns);
  constexpr double neighbourhood = 0.1;  // of ln αL: several steps of the search for the start
  const bool near = std::abs(unknowns[0] - std::log(start->alpha_l)) < neighbourhood;
  if (status <= 0 || status == Eigen::LevenbergMarquardtSpace::TooManyFunctionEvaluation || !near)
    refuse_as_open(table);
  return unknowns;
}

/// The fit as a linear one about its solution.
struct Linearised {
  Eigen::VectorXd residuals;
  Eigen::MatrixXd slopes;
  Eigen::Matrix2d inverse;  ///< of slopesᵀ slopes: the covariance for a scatter of 1
};

Linearised linearised(const CoreLessFlowTemperature& model, const Eigen::VectorXd& unknowns) {
  Linearised at{Eigen::VectorXd(model.values()), Eigen::MatrixXd(model.values(), unknowns.size()), {}};
  model(unknowns, at.residuals);
  model.df(unknowns, at.slopes);
  at.inverse = (at.slopes.transpose() * at.slopes).inverse();
  return at;
}

double student(double probability, std::size_t degrees) {
  return boost::math::quantile(boost::math::students_t(static_cast<double>(degrees)), probability);
}

// Externally studentised residual against Student's t, shared out over the rows (Bonferroni); Cook and Weisberg,
// Residuals and Influence in Regression, 1982, section 2.2 (from memory).
bool stands_apart(double residual, double leverage, double squares, std::size_t rows) {
  if (rows < 4 || std::abs(residual) < one_degree_c) return false;
  const std::size_t degrees = rows - 3;
  const double left = 1 - leverage;
  const double others = std::max(0.0, squares - residual * residual / left) / static_cast<double>(degrees);
  const double scatter = std::max(std::sqrt(others), reading_scatter_c);
  const double tail = (1 - confidence) / 2 / static_cast<double>(rows);
  return std::abs(residual) / (scatter * std::sqrt(left)) > student(1 - tail, degrees);
}

// The fit against a zone without end, in which every core has the nozzle's temperature: F-test of one parameter, which
// is Student's t squared.
bool rises_clearly(std::span<const SlipRow> rows, double squares, double reach_c) {
  double sum = 0;
  double sum_of_squares = 0;
  for (const SlipRow& row : rows) {
    sum += row.nozzle_c - inlet_c;
    sum_of_squares += (row.nozzle_c - inlet_c) * (row.nozzle_c - inlet_c);
  }
  const double endless = sum_of_squares - sum * sum / static_cast<double>(rows.size());
  return endless - squares > reach_c * reach_c;
}

std::vector<SlipPoint> curve_of(const CoreLessFlowTemperature& model, std::span<const SlipRow> rows, double alpha_l,
                                double flow_temperature_c) {
  constexpr int points = 128;
  const double end = 1.08 * highest_flow(rows);
  std::vector<SlipPoint> curve;
  for (int i = 1; i <= points; ++i) {
    const double flow = end * i / points;
    curve.push_back({flow, model.slip_c(flow, alpha_l, flow_temperature_c)});
  }
  return curve;
}

std::vector<FittedRow> rows_of(const CoreLessFlowTemperature& model, std::span<const SlipRow> rows,
                               const Linearised& at, double alpha_l, double flow_temperature_c) {
  std::vector<FittedRow> fitted;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const auto k = static_cast<Eigen::Index>(i);
    const double residual = at.residuals[k];
    const double leverage = at.slopes.row(k) * at.inverse * at.slopes.row(k).transpose();
    fitted.push_back({.row = rows[i],
                      .curve_c = model.slip_c(rows[i].flow_mm3_per_s, alpha_l, flow_temperature_c),
                      .core_c = residual + flow_temperature_c,
                      .residual_c = residual,
                      .stands_apart = stands_apart(residual, leverage, at.residuals.squaredNorm(), rows.size())});
  }
  return fitted;
}

}  // namespace

MeltZoneFit fit_melt_zone(const SlipTable& table) {
  want_rows_that_tell(table);
  const CoreLessFlowTemperature model(table.rows);
  const Eigen::VectorXd unknowns = solved(model, table);
  const Linearised at = linearised(model, unknowns);
  const double alpha_l = std::exp(unknowns[0]);
  const double squares = at.residuals.squaredNorm();

  MeltZoneFit fit;
  fit.inlet_c = inlet_c;
  fit.degrees_of_freedom = table.rows.size() - 2;
  fit.scatter_c = std::sqrt(squares / static_cast<double>(fit.degrees_of_freedom));
  const double reach_c =
      student((1 + confidence) / 2, fit.degrees_of_freedom) * std::max(fit.scatter_c, reading_scatter_c);
  fit.alpha_l_mm3_per_s = {alpha_l, alpha_l * reach_c * std::sqrt(at.inverse(0, 0))};
  fit.flow_temperature_c = {unknowns[1], reach_c * std::sqrt(at.inverse(1, 1))};
  fit.correlation = at.inverse(0, 1) / std::sqrt(at.inverse(0, 0) * at.inverse(1, 1));
  const bool settled = fit.alpha_l_mm3_per_s.low() > 0 && fit.flow_temperature_c.low() > inlet_c;
  if (!settled) refuse_as_open(table);
  if (!rises_clearly(table.rows, squares, reach_c)) refuse_as_flat(table);
  fit.rows = rows_of(model, table.rows, at, alpha_l, unknowns[1]);
  fit.curve = curve_of(model, table.rows, alpha_l, unknowns[1]);
  return fit;
}

}  // namespace beadwise
