#pragma once

#include <zlib.h>

#include <stdexcept>
#include <string_view>
#include <vector>

#include "text/stored_bytes.hpp"

namespace beadwise {

/// Packed bytes that are damaged or stop early; what() says which, in a few words.
class DamagedGzip : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// Unpacks gzip members that follow one another (RFC 1952, section 2.2) as one text.
class Gunzip {
 public:
  /// Whether stored bytes that begin like this are gzip (RFC 1952, section 2.3.1: ID1, ID2 and the one method in use).
  static bool recognises(std::string_view beginning) { return beginning.substr(0, 3) == "\x1f\x8b\x08"; }

  /// `first` is the piece of `stored` that was read to recognise it. `stored` must outlive this.
  Gunzip(StoredBytes& stored, std::string_view first);
  ~Gunzip();
  Gunzip(const Gunzip&) = delete;
  Gunzip& operator=(const Gunzip&) = delete;

  /// The next piece, empty at the end; it lives until the next call. Pieces are full except the last, also where damage
  /// follows: the call after that throws DamagedGzip.
  std::string_view next();

 private:
  bool refill();
  void unpack_some();
  void after_member();

  StoredBytes& stored_;
  z_stream stream_{};
  std::vector<unsigned char> buffer_;
  bool ended_ = false;
  const char* damage_ = nullptr;
};

}  // namespace beadwise
