import { followUpsOf } from '../../../src/domain/follow-ups/follow-ups.js';
import { openingOf, opensCircuit, shareComingOut } from '../../../src/domain/intervals/circuit-opening.js';
import { workOf } from '../../../src/domain/job-card/work/card-work.js';
import { ACTIONS, COMPONENTS } from '../../../src/domain/intervals/types.js';

describe('how much of the coolant comes out', () => {
  // Common practice, no source: by where the part is, and whether it has shut-offs.
  it.each([
    ['coolant-filter', 'none'],
    ['radiator-cap', 'none'],
    ['hose-clamp', 'none'],
    ['drive-belt', 'none'],
    ['tensioner', 'none'],
    ['fan-drive', 'none'],
    ['timing-belt', 'none'],
    ['other', 'none'],
    ['temperature-sensor', 'some'],
    ['reservoir', 'some'],
    ['thermostat', 'some'],
    ['upper-hose', 'some'],
    ['heater-hose', 'some'],
    ['bypass-hose', 'some'],
    ['heater-core', 'some'],
    ['lower-hose', 'all'],
    ['water-pump', 'all'],
    ['radiator', 'all'],
    ['oil-cooler', 'all'],
    ['egr-cooler', 'all'],
    ['head-gasket', 'all'],
    ['injector-sleeve', 'all'],
    ['coolant', 'all'],
  ] as const)('for %s is %s', (component, opening) => {
    expect(openingOf(component)).toBe(opening);
  });

  it('is all for any flush, and nothing for looking, testing, adjusting and rechecking', () => {
    for (const component of COMPONENTS) {
      expect(shareComingOut({ component, action: 'flush' })).toBe(1);
      for (const action of ['inspect', 'test', 'adjust', 'recheck'] as const)
        expect(shareComingOut({ component, action })).toBe(0);
    }
  });

  it('is nothing for the fins of a radiator, which are cleaned from outside', () => {
    expect(shareComingOut({ component: 'radiator', action: 'clean' })).toBe(0);
    expect(shareComingOut({ component: 'egr-cooler', action: 'clean' })).toBe(1);
  });

  it('is a share from nothing to all for any work', () => {
    for (const component of COMPONENTS)
      for (const action of ACTIONS) {
        const share = shareComingOut({ component, action });
        expect([share >= 0, share <= 1]).toEqual([true, true]);
      }
  });

  // Common practice, no source. Shut-offs, a cold system, or a wrench on the clamp: nothing comes
  // out.
  it.each([
    ['water-pump', 'replace', true],
    ['water-pump', 'adjust', false],
    ['heater-core', 'clean', true],
    ['heater-core', 'flush', true],
    ['radiator', 'flush', true],
    ['radiator', 'clean', false],
    ['coolant', 'replace', true],
    ['coolant', 'adjust', false],
    ['coolant-filter', 'replace', false],
    ['radiator-cap', 'replace', false],
    ['radiator-cap', 'clean', false],
    ['hose-clamp', 'replace', false],
    ['hose-clamp', 'adjust', false],
    ['upper-hose', 'adjust', false],
    ['other', 'replace', false],
    ['drive-belt', 'replace', false],
  ] as const)('opens the circuit, or not: %s %s: %s', (component, action, opens) => {
    expect(opensCircuit({ component, action })).toBe(opens);
  });

  it.each(COMPONENTS)('decides whether the level is rechecked after any work on %s', (component) => {
    for (const action of ACTIONS) {
      const lines = [{ component, action, item: null }];
      const opened = followUpsOf([{ id: 'j', at: 0, lines, isBaseline: false }], []);
      expect([action, opened.map((line) => line.action)]).toEqual([
        action,
        opensCircuit({ component, action }) ? ['recheck'] : [],
      ]);
      expect([action, workOf(lines).opensCircuit]).toEqual([action, opensCircuit({ component, action })]);
    }
  });
});
