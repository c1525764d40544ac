import fc from 'fast-check';
import { episodesOf } from '../../../src/domain/faults/episodes.js';
import { joined, type SightingSpan, TOGETHER_MS } from '../../../src/domain/faults/spans.js';

const HOUR = 3_600_000;
const span = (id: string, isActive: boolean, from: number, to = from): SightingSpan => ({
  ...{ id, isActive, firstAt: from * HOUR, lastAt: to * HOUR, occurrences: null },
  code: { system: 'obd', code: 'P0217' },
});
const hours = (spans: readonly SightingSpan[]) =>
  episodesOf(spans).map(({ firstAt, lastAt, goneAt }) => [
    firstAt / HOUR,
    lastAt / HOUR,
    goneAt === null ? null : goneAt / HOUR,
  ]);

describe('episodes of a fault', () => {
  it.each<[string, SightingSpan[], (number | null)[][]]>([
    ['one sighting is an episode', [span('a', true, 0)], [[0, 0, null]]],
    ['a repeated one joins', [span('a', true, 0), span('b', true, 20)], [[0, 20, null]]],
    ['it joins however long the vehicle stood', [span('a', true, 0), span('b', true, 500)], [[0, 500, null]]],
    ['one read as gone has ended', [span('a', true, 0, 5), span('g', false, 6, 90)], [[0, 5, 6]]],
    [
      'one that comes back is another',
      [span('a', true, 0, 5), span('g', false, 6, 40), span('b', true, 60)],
      [
        [0, 5, 6],
        [60, 60, null],
      ],
    ],
    ['a loose contact is one', [span('a', true, 0, 10), span('g', false, 5)], [[0, 10, null]]],
    ['gone alone is none', [span('g', false, 5)], []],
    ['of two who reported it', [span('a', true, 0, 5), span('b', true, 3, 9)], [[0, 9, null]]],
  ])('%s', (_what, spans, expected) => {
    expect(hours(spans)).toEqual(expected);
    expect(hours([...spans].reverse())).toEqual(expected);
  });

  // The property on which it rests that conclusions do not depend on the order of arrival.
  it('are the same however sightings were put together before', () => {
    const sightings = fc.array(fc.record({ at: fc.integer({ min: 0, max: 300 }), isActive: fc.boolean() }), {
      minLength: 1,
      maxLength: 30,
    });
    fc.assert(
      fc.property(sightings, fc.integer(), (seen, seed) => {
        const one = seen.map(({ at, isActive }) => span('s', isActive, at));
        const shuffled = [...one].sort(
          (a, b) => ((a.firstAt * 31 + seed) % 7) - ((b.firstAt * 31 + seed) % 7),
        );
        const kept = [true, false].flatMap((isActive) => {
          const stored: SightingSpan[] = [];
          for (const next of shuffled.filter((each) => each.isActive === isActive)) {
            const merged = joined([...stored, next]);
            stored.splice(0, stored.length, ...merged);
          }
          return stored;
        });
        expect(hours(kept)).toEqual(hours(one));
      }),
    );
  });

  // Without stored spans, from the sightings themselves: a gone one between two active ones that
  // lie further apart than belongs together begins an episode anew.
  it('are those of the sightings one by one', () => {
    const sightings = fc.uniqueArray(
      fc.record({ at: fc.integer({ min: 0, max: 400 }), isActive: fc.boolean() }),
      { selector: ({ at }) => at, maxLength: 30 },
    );
    fc.assert(
      fc.property(sightings, (seen) => {
        const inOrder = [...seen].sort((a, b) => a.at - b.at);
        let starts = 0;
        let last: number | null = null;
        let isGone = false;
        for (const { at, isActive } of inOrder) {
          if (!isActive) isGone = true;
          else {
            const isNear = last !== null && (at - last) * HOUR <= TOGETHER_MS;
            if (last === null || (isGone && !isNear)) starts += 1;
            last = at;
            isGone = false;
          }
        }
        expect(episodesOf(seen.map(({ at, isActive }) => span('s', isActive, at)))).toHaveLength(starts);
      }),
    );
  });
});
