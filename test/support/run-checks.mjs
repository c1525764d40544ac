/**
 * Runs the checks of `npm run check`, two at a time, since each keeps one processor busy. Prints
 * the output of a check when it has ended.
 *
 * Checks after `then` start when all checks before it have ended, because they write files that
 * others read.
 */
import { spawn } from 'node:child_process';

const AT_ONCE = 2;

function run(check) {
  return new Promise((resolve) => {
    const child = spawn('npm', ['run', '--silent', check], {
      stdio: ['ignore', 'pipe', 'pipe'],
      shell: process.platform === 'win32',
    });
    const said = [];
    child.stdout.on('data', (chunk) => said.push(chunk));
    child.stderr.on('data', (chunk) => said.push(chunk));
    child.on('error', (error) => said.push(Buffer.from(`${error.message}\n`)));
    child.on('close', (code) => {
      process.stdout.write(`${check}: ${code === 0 ? 'passed' : 'FAILED'}\n`);
      process.stdout.write(Buffer.concat(said));
      resolve(code === 0);
    });
  });
}

async function runAll(checks) {
  const left = [...checks];
  const outcomes = [];
  const next = async () => {
    for (let check = left.shift(); check !== undefined; check = left.shift()) outcomes.push(await run(check));
  };
  await Promise.all(Array.from({ length: AT_ONCE }, next));
  return outcomes.every(Boolean);
}

const named = process.argv.slice(2);
const at = named.indexOf('then');
const [first, second] = at === -1 ? [named, []] : [named.slice(0, at), named.slice(at + 1)];
const passed = [await runAll(first), await runAll(second)];
process.exitCode = passed.every(Boolean) ? 0 : 1;
