#include "text/block_reader.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <unistd.h>
#include <zlib.h>

#include <algorithm>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "beadwise/error.hpp"
#include "temporary_folder.hpp"
#include "text/stored_bytes.hpp"

namespace beadwise::tests {

namespace {

struct Job {
  std::vector<Block> blocks;
  std::string text;
  std::uint64_t bytes = 0;
  std::uint64_t lines = 0;
  std::string sha256;
  bool packed = false;
};

Job read(const Source& source, std::size_t block_bytes = BlockReader::default_block_bytes) {
  BlockReader reader(source, block_bytes);
  Job job;
  Block block;
  while (reader.next(block)) {
    job.blocks.push_back(block);
    job.text += block.bytes;
  }
  CHECK_FALSE(reader.next(block));
  job.bytes = reader.bytes();
  job.lines = reader.lines();
  job.sha256 = reader.sha256();
  job.packed = reader.packed();
  return job;
}

Job read_text(const std::string& text, std::size_t block_bytes = BlockReader::default_block_bytes) {
  return read(Source::memory("job", text), block_bytes);
}

std::vector<std::string> blocks_of(const std::string& text, std::size_t block_bytes) {
  std::vector<std::string> blocks;
  for (const Block& block : read_text(text, block_bytes).blocks) blocks.push_back(block.bytes);
  return blocks;
}

// What goes wrong with a source, and the text that was handed out before.
struct Failure {
  std::string text;
  std::optional<Error> error;
};

Failure failure_of(const Source& source, std::size_t block_bytes = BlockReader::default_block_bytes) {
  Failure failure;
  try {
    BlockReader reader(source, block_bytes);
    for (Block block; reader.next(block);) failure.text += block.bytes;
  } catch (const Error& error) {
    failure.error = error;
    CHECK(error.kind() == ErrorKind::file);
    CHECK(error.file() == source.name);
  }
  return failure;
}

std::string sentence_of(const Source& source) {
  const Failure failure = failure_of(source);
  return failure.error ? failure.error->sentence() : "no error";
}

// One gzip member.
std::string packed(const std::string& text) {
  z_stream stream{};
  constexpr int gzip = 16 + MAX_WBITS;
  if (deflateInit2(&stream, Z_DEFAULT_COMPRESSION, Z_DEFLATED, gzip, 8, Z_DEFAULT_STRATEGY) != Z_OK) {
    throw std::runtime_error("zlib cannot pack");
  }
  std::string input = text;
  std::string output(compressBound(static_cast<uLong>(text.size())) + 64, '\0');
  stream.next_in = reinterpret_cast<Bytef*>(input.data());
  stream.avail_in = static_cast<uInt>(input.size());
  stream.next_out = reinterpret_cast<Bytef*>(output.data());
  stream.avail_out = static_cast<uInt>(output.size());
  const int result = deflate(&stream, Z_FINISH);
  output.resize(stream.total_out);
  deflateEnd(&stream);
  if (result != Z_STREAM_END) throw std::runtime_error("zlib did not pack to the end");
  return output;
}

std::string hash_of(const std::string& bytes) {
  StoredBytes stored(Source::memory("bytes", bytes));
  while (!stored.next().empty()) {
  }
  return stored.sha256();
}

// A made-up print with every kind of line end and lines of many lengths, longer than several pieces.
std::string long_text() {
  const std::vector<std::string> ends = {"\n", "\r\n", "\r", "\n\n", "\r\r\n", "\n\r"};
  std::string text;
  for (std::size_t i = 0; text.size() < 400'000; ++i) {
    text += "G1 X" + std::to_string(i) + std::string(i % 97, ' ') + ends[i % ends.size()];
  }
  return text + "M84";
}

}  // namespace

TEST_CASE("blocks hold whole lines, are numbered and placed, and together are the job") {
  const std::string text = long_text();
  const Job whole = read_text(text, 16 * 1024 * 1024);
  CHECK(whole.text == text);
  CHECK(whole.bytes == text.size());
  for (const std::size_t block_bytes : {1, 2, 3, 7, 64, 4096, 131'072, 1'048'576}) {
    CAPTURE(block_bytes);
    const Job job = read_text(text, block_bytes);
    CHECK(job.text == text);
    CHECK(job.lines == whole.lines);
    CHECK(job.sha256 == hash_of(text));
    std::uint64_t offset = 0;
    for (std::size_t i = 0; i < job.blocks.size(); ++i) {
      const Block& block = job.blocks[i];
      REQUIRE(block.offset == offset);
      offset += block.bytes.size();
      if (i + 1 == job.blocks.size()) break;
      const char last = block.bytes.back();
      REQUIRE((last == '\n' || last == '\r'));
      REQUIRE_FALSE((last == '\r' && job.blocks[i + 1].bytes.front() == '\n'));
    }
  }
}

TEST_CASE("the first line of a block has the number that it has in the job") {
  const Job job = read_text("a\nb\r\nc\rd\n\ne", 1);
  REQUIRE(job.blocks.size() == 6);
  for (std::size_t i = 0; i < job.blocks.size(); ++i) CHECK(job.blocks[i].first_line == i + 1);
  CHECK(job.lines == 6);
}

TEST_CASE("blocks of one byte grow to one line each") {
  CHECK(blocks_of("G1 X1\r\nG1\n\rM84", 1) == std::vector<std::string>{"G1 X1\r\n", "G1\n", "\r", "M84"});
  CHECK(blocks_of("\n\n", 1) == std::vector<std::string>{"\n", "\n"});
  CHECK(blocks_of("a\r", 1) == std::vector<std::string>{"a\r"});
}

TEST_CASE("a last line without a line end counts, an empty one does not") {
  CHECK(read_text("G28").lines == 1);
  CHECK(read_text("G28\n").lines == 1);
  CHECK(read_text("G28\n\n").lines == 2);
  CHECK(read_text("G28\r").lines == 1);
  CHECK(read_text("G28\nM84").lines == 2);
}

TEST_CASE("a byte-order mark is skipped and counted") {
  const Job job = read_text("\xEF\xBB\xBFG28\nM84\n", 1);
  CHECK(job.text == "G28\nM84\n");
  CHECK(job.bytes == 11);
  CHECK(job.lines == 2);
  CHECK(job.blocks[0].offset == 3);
  CHECK(job.blocks[1].offset == 7);
  CHECK(read_text("\xEF\xBBG28\n").text == "\xEF\xBBG28\n");
}

TEST_CASE("NUL bytes and bytes of any encoding pass through") {
  std::string text;
  for (int i = 0; i < 256; ++i) text += static_cast<char>(i);
  CHECK(read_text("G28\n" + text, 3).text == "G28\n" + text);
}

TEST_CASE("a line of ten million bytes is one line") {
  const std::string text = std::string(10'000'000, 'x') + "\nG28\n";
  const Job job = read_text(text, 1024);
  CHECK(job.lines == 2);
  CHECK(job.blocks[0].bytes.size() > 10'000'000);
  CHECK(job.text == text);
}

TEST_CASE("a gzip job is known by its bytes, and everything but its hash is of the unpacked text") {
  const std::string text = "\xEF\xBB\xBF" + long_text();
  const std::string stored = packed(text);
  for (const std::size_t block_bytes : {1, 4096, 1'048'576}) {
    CAPTURE(block_bytes);
    const Job job = read_text(stored, block_bytes);
    CHECK(job.text == long_text());
    CHECK(job.bytes == text.size());
    CHECK(job.lines == read_text(text).lines);
    CHECK(job.sha256 == hash_of(stored));
    CHECK(job.packed);
    CHECK_FALSE(read_text(text, block_bytes).packed);
  }
}

TEST_CASE("gzip members one behind the other are one text, and zeros behind the last are padding") {
  CHECK(read_text(packed("G28\nG1 ") + packed("X1\n")).text == "G28\nG1 X1\n");
  CHECK(read_text(packed("G28\n") + packed("") + packed("M84\n") + std::string(512, '\0')).text == "G28\nM84\n");
}

TEST_CASE("of a damaged gzip the whole lines are handed out, then the sentence names the last of them") {
  const std::string text = long_text();
  std::string cut_short = packed(text);
  cut_short.resize(cut_short.size() / 2);
  for (const std::size_t block_bytes : {1, 4096, 1'048'576}) {
    CAPTURE(block_bytes);
    const Failure failure = failure_of(Source::memory("job.gz", cut_short), block_bytes);
    REQUIRE(failure.error);
    const std::uint64_t lines = read_text(failure.text).lines;
    CHECK(lines > 1000);
    CHECK(failure.error->line() == lines);
    CHECK(failure.error->sentence() == "only " + std::to_string(lines) +
                                           " whole lines could be read, then the packed data stop early: pack or copy "
                                           "the job again");
    CHECK(text.starts_with(failure.text));
    CHECK((failure.text.back() == '\n' || failure.text.back() == '\r'));
  }
}

TEST_CASE("a changed byte in a gzip is found, at the latest by its checksum (RFC 1952, section 2.3.1)") {
  std::string changed = packed("G28\nG1 X1\n");
  changed[changed.size() - 8] = static_cast<char>(changed[changed.size() - 8] ^ 1);
  const Failure failure = failure_of(Source::memory("job.gz", changed));
  REQUIRE(failure.error);
  CHECK(failure.text == "G28\nG1 X1\n");
  CHECK(failure.error->line() == 2);
  CHECK(sentence_of(Source::memory("job.gz", packed("G28\n") + "junk")) ==
        "only 1 whole line could be read, then the packed data are damaged: pack or copy the job again");
}

TEST_CASE("a line has an end within 16 MiB, or the job is not read on; blocks of any size agree") {
  const std::size_t most = BlockReader::most_line_bytes;
  CHECK(read_text("G28\n" + std::string(most - 1, 'x') + "\nM84").lines == 3);
  CHECK(read_text("G28\n" + std::string(most, 'x')).lines == 2);
  const std::string endless = "G28\n" + std::string(most, 'x') + "\nM84\n";
  for (const std::size_t block_bytes : {1000, 131'072, 64 * 1024 * 1024}) {
    CAPTURE(block_bytes);
    const Failure failure = failure_of(Source::memory("job", endless), block_bytes);
    REQUIRE(failure.error);
    CHECK(failure.text == "G28\n");
    CHECK(failure.error->line() == 1);
    CHECK(failure.error->sentence() ==
          "only 1 whole line could be read, then a line has no end within 16 MiB: slice or copy the job again");
  }
}

TEST_CASE("a job of more bytes than are allowed is read so far and no further, packed or not") {
  const std::string text = long_text();
  for (const std::string& stored : {text, packed(text)}) {
    Source source = Source::memory("job", stored);
    source.max_bytes = text.size();
    CHECK(failure_of(source).text == text);
    for (const std::uint64_t bytes :
         {std::uint64_t{1}, std::uint64_t{131'072}, std::uint64_t{200'000}, text.size() - 1}) {
      CAPTURE(bytes);
      source.max_bytes = bytes;
      const Failure failure = failure_of(source);
      REQUIRE(failure.error);
      CHECK(failure.text.size() <= bytes);
      CHECK(failure.text.size() + 100 > bytes);
      CHECK(text.starts_with(failure.text));
      CHECK(failure.error->sentence().ends_with("then the limit of " + std::to_string(bytes) +
                                                " bytes was reached: allow more with --max-bytes"));
    }
  }
}

TEST_CASE("packed data may grow as they like up to a GiB, and 200 times beyond; a stated limit is the only one") {
  // RFC 1951: a mebibyte of one letter packs about a thousand to one; of numbers it does not.
  const std::size_t mebibyte = 1024 * 1024;
  const std::string member = packed(std::string(mebibyte - 1, ' ') + '\n');
  REQUIRE(member.size() < mebibyte / 900);
  const auto times = [&](std::size_t count) {
    std::string all;
    for (std::size_t i = 0; i < count; ++i) all += member;
    return Source::memory("job.gz", all);
  };
  const auto lines_of = [](const Source& source) {
    BlockReader reader(source);
    std::uint64_t lines = 0;
    for (Block block; reader.next(block);) lines = block.first_line;
    return lines;
  };
  CHECK(lines_of(times(1024)) == 1024);
  const std::string sentence = sentence_of(times(1030));
  CHECK(
      sentence ==
      "only 1024 whole lines could be read, then the packed data had grown to more than 200 times their size, as those "
      "of no print do: slice or copy it again, or allow so many bytes with --max-bytes");
  Source allowed = times(1030);
  allowed.max_bytes = 1030 * mebibyte;
  CHECK(lines_of(allowed) == 1030);
}

TEST_CASE("an empty job says that it is empty") {
  const std::string sentence = "the job is empty: slice or copy it again";
  CHECK(sentence_of(Source::memory("job", "")) == sentence);
  CHECK(sentence_of(Source::memory("job", "\xEF\xBB\xBF")) == sentence);
  CHECK(sentence_of(Source::memory("job", packed(""))) == sentence);
}

TEST_CASE("a file that cannot be opened says why and what to do") {
  const TemporaryFolder folder;
  CHECK(sentence_of(Source::file(folder.path() / "no.gcode")) == "no such file: check the path");
  CHECK(sentence_of(Source::file(folder.write("a", "") / "no.gcode")) == "no such file: check the path");
  CHECK(sentence_of(Source::file(folder.path())) == "is a folder, not a file: name a file in it");
  const auto locked = folder.write("locked.gcode", "G28\n");
  std::filesystem::permissions(locked, std::filesystem::perms::none);
  if (::access(locked.c_str(), R_OK) == 0) {
    MESSAGE("this user may read every file: permissions are not tried");
    return;
  }
  CHECK(sentence_of(Source::file(locked)) == "may not be read by this user: change its permissions or copy it");
}

TEST_CASE("a file is read as memory is") {
  const TemporaryFolder folder;
  const std::string text = long_text();
  const Job job = read(Source::file(folder.write("a.gcode", text)), 4096);
  CHECK(job.text == text);
  CHECK(job.sha256 == read_text(text).sha256);
  CHECK(read(Source::file(folder.write("a.gz", packed(text)))).text == text);
}

TEST_CASE("a read that fails says so") {
  // On Linux the memory of a process can be opened as a file, and reading its first page fails.
  const Source source = Source::file("/proc/self/mem");
  if (::access(source.path.c_str(), R_OK) != 0) {
    MESSAGE("there is no file here whose reading fails");
    return;
  }
  const std::string sentence = sentence_of(source);
  CHECK(sentence.starts_with("only 0 whole lines could be read, then reading failed ("));
  CHECK(sentence.ends_with("): copy the file to a local disk and try again"));
}

TEST_CASE("standard input is read to its end, also in small portions") {
  int ends[2];
  REQUIRE(::pipe(ends) == 0);
  const int saved = ::dup(STDIN_FILENO);
  REQUIRE(::dup2(ends[0], STDIN_FILENO) == STDIN_FILENO);
  ::close(ends[0]);
  const std::string stored = packed("G28\nG1 X1\n");
  // One byte is not enough to know gzip by; all fit into the pipe.
  for (const char byte : stored) REQUIRE(::write(ends[1], &byte, 1) == 1);
  ::close(ends[1]);
  const Job job = read(Source::standard_input());
  ::dup2(saved, STDIN_FILENO);
  ::close(saved);
  CHECK(job.text == "G28\nG1 X1\n");
}

}  // namespace beadwise::tests
