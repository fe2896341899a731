// Switches of mutants: each does what the source says unless its number is the one in BEADWISE_MUTANT. Of a switch with
// two mutants the second has the next number. Written into a copy of the checks by mutate.py, never into the product.
#pragma once
#pragma GCC system_header

#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <string>

namespace mutants {

constexpr int most = 1 << 16;

inline const int active = [] {
  const char* number = std::getenv("BEADWISE_MUTANT");
  return number ? std::atoi(number) : 0;
}();

/// Which switches were passed; written to the folder BEADWISE_MUTANTS_REACHED at the end.
struct Reached {
  unsigned char passed[most] = {};
  ~Reached() {
    const char* folder = std::getenv("BEADWISE_MUTANTS_REACHED");
    if (!folder) return;
    std::ofstream file(std::string(folder) + "/" + std::to_string(getpid()));
    for (int id = 0; id < most; ++id)
      if (passed[id]) file << id << '\n';
  }
};
inline Reached reached;

inline bool on(int id) {
  reached.passed[id] = 1;
  return active == id;
}

inline bool negated(int id, bool value) { return on(id) ? !value : value; }

#define MUTANTS_TWO(name, plain, first, second) \
  template <class A, class B>                   \
  bool name(int id, const A& a, const B& b) {   \
    if (on(id)) return a first b;               \
    if (active == id + 1) return a second b;    \
    return a plain b;                           \
  }
MUTANTS_TWO(less, <, <=, >=)
MUTANTS_TWO(at_most, <=, <, >)
MUTANTS_TWO(more, >, >=, <=)
MUTANTS_TWO(at_least, >=, >, <)
#undef MUTANTS_TWO

template <class A, class B>
bool equal(int id, const A& a, const B& b) {
  return on(id) != static_cast<bool>(a == b);
}
template <class A, class B>
bool unequal(int id, const A& a, const B& b) {
  return on(id) != static_cast<bool>(a != b);
}

#define MUTANTS_ONE(name, plain, other)                            \
  template <class A, class B>                                      \
  auto name(int id, const A& a, const B& b)->decltype(a plain b) { \
    if (on(id)) return a other b;                                  \
    return a plain b;                                              \
  }
MUTANTS_ONE(plus, +, -)
MUTANTS_ONE(minus, -, +)
MUTANTS_ONE(times, *, /)
MUTANTS_ONE(over, /, *)
#undef MUTANTS_ONE

#define MUTANTS_ASSIGN(name, plain, other) \
  template <class A, class B>              \
  A& name(int id, A& a, const B& b) {      \
    if (on(id)) return a other b;          \
    return a plain b;                      \
  }
MUTANTS_ASSIGN(add, +=, -=)
MUTANTS_ASSIGN(subtract, -=, +=)
MUTANTS_ASSIGN(multiply, *=, /=)
MUTANTS_ASSIGN(divide, /=, *=)
#undef MUTANTS_ASSIGN

template <class A>
A number(int id, A value) {
  return on(id) ? value * 2 : active == id + 1 ? value / 2 : value;
}
inline double threshold(int id, double value) { return on(id) ? value * 1.5 : active == id + 1 ? value / 1.5 : value; }
template <class A>
A count(int id, A value) {
  return on(id) ? value + 1 : value;
}
template <class A>
A index(int id, A value) {
  return on(id) ? (value == 0 ? 1 : value - 1) : value;
}

}  // namespace mutants
