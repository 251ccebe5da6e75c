// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/page_files.hpp"

namespace damper {

// What the bench page is made of, built into the command.
[[nodiscard]] EmbeddedFile bench_body();
[[nodiscard]] EmbeddedFile bench_style();
[[nodiscard]] EmbeddedFile bench_script();         ///< Of the page.
[[nodiscard]] EmbeddedFile bench_worker_script();  ///< Of its workers …
[[nodiscard]] EmbeddedFile bench_engine_script();  ///< … behind this, which starts the engine.
[[nodiscard]] EmbeddedFile bench_engine();         ///< WebAssembly, packed by gzip.

}  // namespace damper
