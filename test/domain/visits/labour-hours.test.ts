import { ACTIONS, type Component, COMPONENTS } from '../../../src/domain/intervals/types.js';
import { workOf } from '../../../src/domain/job-card/work/card-work.js';
import { labourOf, preparationsOf, visitHours } from '../../../src/domain/visits/labour-hours.js';

describe('what opens the way to a line', () => {
  it('is draining all or some where the job card has it come out, and nowhere else', () => {
    const differing = COMPONENTS.flatMap((component) =>
      ACTIONS.map((action) => ({ component, action })),
    ).filter((line) => {
      const needed = preparationsOf(line);
      const { opens } = workOf([{ ...line, item: null }]);
      return (
        needed.includes('drain-and-fill') !== (opens === 'all') ||
        needed.includes('part-drain') !== (opens === 'some')
      );
    });
    expect(differing).toEqual([]);
  });

  // Common practice, no source: 0.5 h to drain down to a part high up and fill again, 1.5 h for all
  // of it, the first half hour of both the same.
  it('takes as long as the longer of draining some and draining all, whatever lines come together', () => {
    const line = (component: Component) => ({ labour: labourOf({ component, action: 'replace' }, null) });
    const hours = (...components: Component[]) => visitHours(components.map(line));
    // By hand: 0.3 taking in + 0.4 sensor + 0.5; 0.3 + 0.5 belt + 2 pump + 1.5; both: 0.3 + 0.5 +
    // 0.4 + 2 + 1.5.
    expect(hours('temperature-sensor')).toBeCloseTo(1.2, 9);
    expect(hours('water-pump')).toBeCloseTo(4.3, 9);
    expect(hours('water-pump', 'temperature-sensor')).toBeCloseTo(4.7, 9);
    expect(hours('coolant-filter')).toBeCloseTo(0.6, 9);
  });

  it('takes the hours of the sheet for draining all, and never more for draining some', () => {
    const hours = (component: Component, all: number) =>
      visitHours([
        {
          labour: labourOf({ component, action: 'replace' }, { preparations: { 'drain-and-fill': all } }),
        },
      ]);
    // By hand: 0.3 taking in + 3 radiator + 4; 0.3 + 0.5 reservoir + 0.5, and with 0.2 h for all of
    // it 0.3 + 0.5 + 0.2.
    expect(hours('radiator', 4)).toBeCloseTo(7.3, 9);
    expect(hours('reservoir', 4)).toBeCloseTo(1.3, 9);
    expect(hours('reservoir', 0.2)).toBeCloseTo(1, 9);
  });

  // Common practice, no source.
  it.each([
    ['water-pump', 'replace', ['take-in', 'belt-off', 'drain-and-fill']],
    ['reservoir', 'replace', ['take-in', 'part-drain']],
    ['head-gasket', 'replace', ['take-in', 'drain-and-fill']],
    ['temperature-sensor', 'replace', ['take-in', 'part-drain']],
    ['coolant-filter', 'replace', ['take-in']],
    ['coolant', 'flush', ['take-in', 'drain-and-fill']],
    ['radiator-cap', 'replace', ['take-in']],
    ['drive-belt', 'replace', ['take-in', 'belt-off']],
    ['drive-belt', 'inspect', ['take-in']],
    ['coolant', 'test', ['take-in']],
  ] as const)('%s: %s', (component, action, preparations) => {
    expect(preparationsOf({ component, action })).toEqual(preparations);
  });
});
