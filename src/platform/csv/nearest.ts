/**
 * How many letters must be added, removed or replaced to turn one word into the other (Levenshtein
 * 1966).
 */
function distance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const exchanged = (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(exchanged, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row[b.length] ?? 0;
}

/** Only this many characters are compared, because no known name is longer. */
const LONGEST = 80;

/**
 * Returns the known word that was probably meant: at most a third of its letters differ, and never
 * more than two. Null when no word is that close.
 */
export function nearest(word: string, known: Iterable<string>): string | null {
  const meant = word.toLowerCase().slice(0, LONGEST);
  let best: { name: string; away: number } | null = null;
  for (const name of known) {
    const most = Math.min(2, Math.floor(name.length / 3));
    if (Math.abs(name.length - meant.length) > most) continue;
    const away = distance(meant, name.toLowerCase());
    if (away <= most && (best === null || away < best.away)) best = { name, away };
  }
  return best?.name ?? null;
}
