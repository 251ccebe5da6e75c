// SPDX-License-Identifier: MIT
#include "libdamper/base/digest.hpp"

#include "libdamper/base/error.hpp"

#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>
#include <string>
#include <unistd.h>

using namespace damper;

// NIST, Cryptographic Standards and Guidelines, Example Values for SHA-256 (one block "abc", two
// blocks, long message of a million "a") and the digest of the empty message of the SHA test
// vectors for byte-oriented hashing; recalled, not read in the source, and confirmed by a second,
// independent implementation (sha256sum of GNU coreutils).
TEST_CASE("SHA-256 gives the digests published by NIST") {
    CHECK(sha256_hex("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256_hex("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK(sha256_hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(sha256_hex(std::string(1'000'000, 'a')) ==
          "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("the digest does not depend on how the bytes are cut into pieces") {
    const std::string text(1000, 'x');
    const std::string whole = sha256_hex(text);
    for (const std::size_t piece : {1U, 7U, 63U, 64U, 65U, 999U}) {
        CAPTURE(piece);
        Sha256 digest;
        for (std::size_t at = 0; at < text.size(); at += piece) {
            const std::string part = text.substr(at, piece);
            digest.add(std::as_bytes(std::span(part.data(), part.size())));
        }
        CHECK(digest.finish() == whole);
    }
}

TEST_CASE("every length around a block boundary is padded to a digest of its own") {
    // GNU coreutils: printf 'a%.0s' $(seq N) | sha256sum.
    CHECK(sha256_hex(std::string(55, 'a')) ==
          "9f4390f8d30c2dd92ec9f095b65e2b9ae9b0a925a5258e241c9f1e910f734318");
    CHECK(sha256_hex(std::string(56, 'a')) ==
          "b35439a4ac6f0948b6d6f9e3c6af0f5f590ce20f1bde7090ef7970686ec6738a");
    CHECK(sha256_hex(std::string(64, 'a')) ==
          "ffe054fe7ae0cb6dc65c3af9b61d5209f439851db43d0ba5997337df154668eb");
}

TEST_CASE("the digest of a file is the digest of its bytes") {
    const auto path =
        std::filesystem::temp_directory_path() / ("damper_digest_" + std::to_string(::getpid()));
    std::string bytes(200'000, '\0');
    for (std::size_t i = 0; i < bytes.size(); ++i) bytes[i] = static_cast<char>(i * 37 % 251);
    std::ofstream(path, std::ios::binary) << bytes;
    CHECK(sha256_hex_of_file(path) == sha256_hex(bytes));
    std::filesystem::remove(path);
    CHECK_THROWS_AS((void)sha256_hex_of_file(path), FileError);
}
