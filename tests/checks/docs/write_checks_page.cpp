// Writes docs/checks.md: the target beadwise_docs.
#include <fstream>

#include "checks/checks_page.hpp"

int main(int count, char** arguments) {
  if (count != 2) return 2;
  std::ofstream page(arguments[1], std::ios::binary);
  page << beadwise::tests::checks_page();
  return page.flush() ? 0 : 1;
}
