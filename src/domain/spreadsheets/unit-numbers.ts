/**
 * What is left of a unit number when case, blanks, hyphens and leading zeros are taken away. Two
 * unit numbers with the same key may be one vehicle, written in two ways.
 *
 * @example unitKey('cx-038') // 'CX38', as of 'CX 038'
 */
export function unitKey(unitNumber: string): string {
  return unitNumber
    .normalize('NFKC')
    .toUpperCase()
    .replaceAll(/[\s\p{Pd}_.#/]+/gu, '')
    .replaceAll(/(?<!\d)0+(?=\d)/g, '');
}

/** A unit number of a file that is almost another, and the one that it may be. */
export interface AlikeUnit {
  given: string;
  /** As the fleet knows it; else as the file writes it most often. */
  meant: string;
  isKnown: boolean;
}

/**
 * Finds the unit numbers of a file that differ only in case, blanks, hyphens or leading zeros from
 * one of the fleet, or from one another.
 *
 * @param given the unit numbers of the file, and how many rows have each
 * @param known those of the fleet that have a key of the file
 */
export function alikeUnits(given: ReadonlyMap<string, number>, known: readonly string[]): AlikeUnit[] {
  const knownByKey = new Map(known.map((unit) => [unitKey(unit), unit]));
  const isKnown = new Set(known);
  const byKey = new Map<string, string[]>();
  for (const unit of given.keys()) {
    const key = unitKey(unit);
    byKey.set(key, [...(byKey.get(key) ?? []), unit]);
  }
  const found: AlikeUnit[] = [];
  for (const [key, units] of byKey) {
    const others = units.filter((unit) => !isKnown.has(unit));
    const meant = units.find((unit) => isKnown.has(unit)) ?? knownByKey.get(key) ?? mostWritten(units, given);
    for (const unit of others)
      if (unit !== meant) found.push({ given: unit, meant, isKnown: isKnown.has(meant) });
  }
  return found;
}

function mostWritten(units: readonly string[], counts: ReadonlyMap<string, number>): string {
  return units.reduce((best, unit) => ((counts.get(unit) ?? 0) > (counts.get(best) ?? 0) ? unit : best));
}
