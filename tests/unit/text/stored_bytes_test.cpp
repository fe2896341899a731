#include "text/stored_bytes.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <unistd.h>

#include <string>

#include "temporary_folder.hpp"

namespace beadwise {

namespace {

std::string hash_of(const std::string& bytes) {
  StoredBytes stored(Source::memory("memory", bytes));
  while (!stored.next().empty()) {
  }
  return stored.sha256();
}

}  // namespace

TEST_CASE("the hash is SHA-256, lower-case hex (FIPS 180-4, the vectors of NIST)") {
  CHECK(hash_of("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(hash_of("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(hash_of(std::string(1'000'000, 'a')) == "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("a job that is longer than a piece comes whole, in pieces that are full but for the last") {
  const std::string bytes(300'000, 'x');
  StoredBytes stored(Source::memory("memory", bytes));
  CHECK(stored.next().size() == 131'072);
  CHECK(stored.next().size() == 131'072);
  CHECK(stored.next().size() == 37'856);
  CHECK(stored.next().empty());
}

TEST_CASE("an open file is read from its beginning, whoever else reads it, and is left open") {
  const tests::TemporaryFolder folder;
  const int descriptor = ::open(folder.write("label.gcode", "G28\nM84\n").c_str(), O_RDONLY | O_CLOEXEC);
  REQUIRE(descriptor >= 0);
  REQUIRE(::lseek(descriptor, 4, SEEK_SET) == 4);
  Source source;
  source.kind = Source::Kind::open_file;
  source.descriptor = descriptor;
  for (int i = 0; i < 2; ++i) {
    StoredBytes stored(source);
    CHECK(stored.next() == "G28\nM84\n");
    CHECK(stored.next().empty());
    CHECK(stored.bytes() == 8);
  }
  CHECK(::lseek(descriptor, 0, SEEK_CUR) == 4);
  ::close(descriptor);
}

}  // namespace beadwise
