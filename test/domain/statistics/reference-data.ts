import { readFileSync } from 'node:fs';

/** Rows of numbers of a CSV in test/reference, by column name. */
export function referenceRows(name: string): Record<string, number>[] {
  const [header, ...lines] = readFileSync(new URL(`../../reference/${name}`, import.meta.url), 'utf8')
    .trim()
    .split('\n')
    .filter((line) => !line.startsWith('#'));
  const columns = header!.split(',');
  return lines.map((line) =>
    Object.fromEntries(line.split(',').map((cell, i) => [columns[i]!, Number(cell)])),
  );
}
