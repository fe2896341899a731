#include <doctest/doctest.h>

#include <fstream>
#include <iterator>

#include "profile/builtin.hpp"
#include "profile_files.hpp"

using namespace beadwise;
using namespace beadwise::testing;

namespace {

std::string page() {
  std::ifstream stream(std::filesystem::path(BEADWISE_SOURCE_DIR) / "docs/profiles.md", std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), {}};
}

// The row that begins with these cells, anywhere at or after `from`.
std::string row(const std::string& text, const std::string& beginning, std::size_t from = 0) {
  const std::size_t begin = text.find("\n| " + beginning + " |", from);
  if (begin == std::string::npos) return "";
  return text.substr(begin + 1, text.find('\n', begin + 1) - begin - 1);
}

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("docs/profiles.md has a row for every key with the built-in value and its source") {
  const std::string text = page();
  REQUIRE_FALSE(text.empty());
  for (const ProfileValue& value : describe(load_sets({}))) {
    CAPTURE(value.key);
    const std::string key = "`" + value.key.substr(value.key.find('.') + 1) + "`";
    const std::string found = row(text, key);
    CHECK_FALSE(found.empty());
    if (value.key.starts_with("filament.")) continue;
    CHECK(holds(found, "| " + value.because + " |"));
    if (value.key == "machine.max_retraction_mm") {
      CHECK(holds(found, "| 3 direct, 8 bowden |"));
    } else {
      CHECK(holds(found, "| " + (value.value.empty() ? "unknown" : value.value) + " |"));
    }
  }
}

TEST_CASE("docs/profiles.md has every number of every material with its source") {
  const std::string text = page();
  for (const Material& material : built_in_materials()) {
    CAPTURE(material.name);
    const std::string overview = row(text, "`" + material.name + "`");
    const std::size_t section = text.find("\n### " + material.name + "\n");
    REQUIRE(section != std::string::npos);
    CHECK(holds(text, material.advice));
    const Profile profile = load_sets({"filament.material=" + material.name});
    for (const auto& entry : material.sources) {
      const std::string &key = entry.first, &source = entry.second;
      CAPTURE(key);
      const std::string found = row(text, "`" + key + "`", section);
      CHECK(holds(found, "| " + source + " |"));
      if (key == "advice") continue;
      const std::string value = described(profile, "filament." + key).value;
      CHECK(holds(found, "| " + value + " |"));
      CHECK(holds(overview, "| " + value + " |"));
    }
  }
}

TEST_CASE("the example in docs/profiles.md can be loaded") {
  const std::string text = page();
  const std::size_t begin = text.find("```toml\nschema_version");
  REQUIRE(begin != std::string::npos);
  const std::size_t from = begin + 8;
  const Profile profile = load_text(text.substr(from, text.find("```", from) - from));
  CHECK(*profile.machine.nozzle_diameter_mm == 0.6);
  CHECK(*profile.filament.density_g_per_cm3 == 1.27);
  CHECK(profile.accepted.size() == 1);
}

TEST_CASE("the refusal shown in docs/profiles.md is the one that is given") {
  const std::string said = refusal("schema_version = 1\n\n[machine]\nnozle_diameter_mm = 0.6\n");
  CHECK(holds(page(), "prints/beadwise.toml:" + said + "\n"));
}
