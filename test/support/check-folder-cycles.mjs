/**
 * Looks for import cycles between features, between the folders of `src/platform/` and between
 * those of `src/domain/`, each with everything below it. dependency-cruiser's rules for folders
 * match a folder's own files as a target, but not those in its sub-folders, so they would miss a
 * cycle through a sub-folder.
 */
import { cruise } from 'dependency-cruiser';

const { output } = await cruise(['src'], {
  doNotFollow: { path: 'node_modules' },
  includeOnly: '^src/',
  tsPreCompilationDeps: true,
  tsConfig: { fileName: 'tsconfig.json' },
});

/**
 * `src/facts/usage/usage.service.ts` belongs to `src/facts/usage`. Files directly in `src/`
 * assemble the parts.
 */
function folderOf(file) {
  return (
    /^src\/(?:entities|commands)(?=\/)/.exec(file)?.[0] ?? /^src\/[^/]+\/[^/]+(?=\/)/.exec(file)?.[0] ?? null
  );
}

const uses = new Map();
for (const { source, dependencies } of output.modules)
  for (const { resolved } of dependencies) {
    const [from, to] = [folderOf(source), folderOf(resolved)];
    if (from === null || to === null || from === to) continue;
    const targets = uses.get(from) ?? new Map();
    targets.set(to, `${source} → ${resolved}`);
    uses.set(from, targets);
  }

/** Returns the shortest import path from one folder to another; null when there is none. */
function way(from, to) {
  const known = new Map([[from, []]]);
  for (const [folder, imports] of known)
    for (const [next, example] of uses.get(folder) ?? []) {
      if (next === to) return [...imports, example];
      if (!known.has(next)) known.set(next, [...imports, example]);
    }
  return null;
}

const cycles = [...uses.keys()].flatMap((folder) => {
  const imports = way(folder, folder);
  return imports === null ? [] : [[folder, ...imports].join('\n    ')];
});
for (const cycle of cycles) console.error(`${cycle}\n`);
console.log(`${uses.size} folders of src/, ${cycles.length} of them in a cycle`);
process.exit(cycles.length === 0 ? 0 : 1);
