import { faultCodeText } from './fault-code.js';
import type { FaultSighting } from './fault-sighting.js';
import { joined, liesBeside, type SightingSpan, unionOf } from './spans.js';

/** A span as it is stored; one that was voided takes in nothing any more. */
export interface StoredSpan extends SightingSpan {
  isVoided: boolean;
}

export type NewSpan = Omit<SightingSpan, 'id'>;

/** What becomes of sightings: spans that are new, and stored ones that became longer. */
export interface TakenSightings {
  added: NewSpan[];
  lengthened: StoredSpan[];
}

const keyOf = ({ code, isActive }: Pick<FaultSighting, 'code' | 'isActive'>): string =>
  `${faultCodeText(code)} ${isActive}`;

/**
 * Takes sightings of one vehicle by one reporter into what is stored of them. A sighting that lies
 * beside a span lengthens it. The same sighting again changes nothing, and one within a span that
 * was voided is left out.
 *
 * @param stored those that lie beside the sightings, in any order
 * @example takeSightings([], [SPN 110 FMI 0 at 0, the same at 3,600,000]).added.length // 1
 */
export function takeSightings(
  stored: readonly StoredSpan[],
  sightings: readonly FaultSighting[],
): TakenSightings {
  const known = new Map<string, StoredSpan[]>();
  for (const span of stored) known.set(keyOf(span), [...(known.get(keyOf(span)) ?? []), span]);
  const taken: TakenSightings = { added: [], lengthened: [] };
  for (const [key, stretches] of newStretches(sightings, known)) {
    const standing = (known.get(key) ?? []).filter(({ isVoided }) => !isVoided);
    const longer = new Map<string, StoredSpan>();
    for (const stretch of stretches) {
      const beside = standing
        .map((span) => longer.get(span.id) ?? span)
        .filter((span) => liesBeside(span, stretch))
        .sort((a, b) => a.firstAt - b.firstAt || (a.id < b.id ? -1 : 1))[0];
      if (beside === undefined) taken.added.push(stretch);
      else if (!holds(beside, stretch)) longer.set(beside.id, { ...beside, ...unionOf(beside, stretch) });
    }
    taken.lengthened.push(...longer.values());
  }
  return taken;
}

/** The sightings by code and whether active, those that lie together in one. */
function newStretches(
  sightings: readonly FaultSighting[],
  known: ReadonlyMap<string, readonly StoredSpan[]>,
): Map<string, NewSpan[]> {
  const byKey = new Map<string, NewSpan[]>();
  for (const { at, code, isActive, occurrences } of sightings) {
    const key = keyOf({ code, isActive });
    const isTakenBack = (known.get(key) ?? []).some(
      ({ isVoided, firstAt, lastAt }) => isVoided && firstAt <= at && at <= lastAt,
    );
    if (isTakenBack) continue;
    const stretch = { code, isActive, firstAt: at, lastAt: at, occurrences };
    byKey.set(key, [...(byKey.get(key) ?? []), stretch]);
  }
  return new Map([...byKey].map(([key, stretches]) => [key, joined(stretches)]));
}

function holds(span: SightingSpan, { firstAt, lastAt, occurrences }: NewSpan): boolean {
  return (
    span.firstAt <= firstAt &&
    lastAt <= span.lastAt &&
    (occurrences === null || (span.occurrences !== null && occurrences <= span.occurrences))
  );
}
