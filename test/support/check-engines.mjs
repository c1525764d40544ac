/**
 * Checks that every locked package runs on every Node that package.json promises. Otherwise
 * `npm ci` warns of EBADENGINE on the oldest of them, and nobody has tried the package there.
 *
 * Optional packages do not count: npm leaves out those that do not fit, and says nothing.
 */
import { readFileSync } from 'node:fs';
import semver from 'semver';

const read = (name) => JSON.parse(readFileSync(name, 'utf8'));
const promised = read('package.json').engines.node;
const misfits = Object.entries(read('package-lock.json').packages).filter(
  ([path, { engines, optional }]) =>
    path !== '' && !optional && engines?.node !== undefined && !semver.subset(promised, engines.node),
);

for (const [path, { version, engines }] of misfits)
  console.error(`${path} ${version} needs Node ${engines.node}; package.json promises ${promised}`);
process.exitCode = misfits.length > 0 ? 1 : 0;
