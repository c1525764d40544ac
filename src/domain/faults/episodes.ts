import { joined, type SightingSpan } from './spans.js';

/** A fault from when it was first seen active until it was read as gone. */
export interface FaultEpisode<S extends SightingSpan = SightingSpan> {
  /** Its first span. */
  head: S;
  firstAt: number;
  /** When it was last seen active. */
  lastAt: number;
  /** When it was read as gone; null while it is active. */
  goneAt: number | null;
  occurrences: number | null;
}

/**
 * The episodes of one code of one vehicle. A repeated sighting joins the episode, however long the
 * vehicle stood in between; only a sighting as gone ends it. What is seen as gone between sightings
 * that lie together is a loose contact, and still one episode.
 *
 * @param spans of one code, active and gone, in any order
 * @returns in time order
 * @example episodesOf([active 1 to 3 May, gone on 4 May, active on 9 May]).length // 2
 */
export function episodesOf<S extends SightingSpan>(spans: readonly S[]): FaultEpisode<S>[] {
  const active = joined(spans.filter(({ isActive }) => isActive));
  const gone = joined(spans.filter(({ isActive }) => !isActive));
  const episodes: FaultEpisode<S>[] = [];
  for (const span of active) {
    const before = episodes.at(-1);
    if (before !== undefined && !gone.some((one) => isBetween(one, before.lastAt, span.firstAt))) {
      before.lastAt = span.lastAt;
      before.occurrences = Math.max(before.occurrences ?? 0, span.occurrences ?? 0) || null;
    } else {
      const { firstAt, lastAt, occurrences } = span;
      episodes.push({ head: span, firstAt, lastAt, goneAt: null, occurrences });
    }
  }
  return episodes.map((episode) => ({ ...episode, goneAt: goneAfter(gone, episode.lastAt) }));
}

// Two active spans lie further apart than sightings that belong together. So a gone span that
// covers all of the time between them has a sighting in it, too.
function isBetween({ firstAt, lastAt }: SightingSpan, from: number, to: number): boolean {
  return lastAt > from && firstAt < to;
}

function goneAfter(gone: readonly SightingSpan[], at: number): number | null {
  const after = gone.find(({ lastAt }) => lastAt > at);
  if (after === undefined) return null;
  // Within a span only its ends are known.
  return after.firstAt > at ? after.firstAt : after.lastAt;
}
