// Calls draw for each line of standard input, which holds its arguments as a
// JSON list, and answers each with a line: "\x1e" and, after a failure, what
// went wrong.
import * as readline from "node:readline"

process.on("unhandledRejection", () => {})
for await (const line of readline.createInterface({ input: process.stdin })) {
  let wrong = ""
  try {
    await draw(...JSON.parse(line))
  } catch (e) {
    wrong = String(e?.message || e || "it failed without a word").replaceAll(/\s+/g, " ")
  }
  process.stdout.write(`\x1e${wrong}\n`)
}
process.exit()
