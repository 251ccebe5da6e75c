// SPDX-License-Identifier: MIT
// Ends a test for which something is missing here: skipped, or failed where all must be there.
export function skip(why) {
  const required = Boolean(process.env.DAMPER_BROWSER_REQUIRED);
  console.log(`${required ? "FAILED" : "skipped"}: ${why}`);
  process.exit(required ? 1 : 77);
}
