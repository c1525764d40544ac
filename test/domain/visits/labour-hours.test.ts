import { ACTIONS, COMPONENTS } from '../../../src/domain/intervals/types.js';
import { workOf } from '../../../src/domain/job-card/card-work.js';
import { preparationsOf } from '../../../src/domain/visits/labour-hours.js';

describe('what opens the way to a line', () => {
  it('is draining and filling where the job card has the circuit opened, and nowhere else', () => {
    const differing = COMPONENTS.flatMap((component) =>
      ACTIONS.map((action) => ({ component, action })),
    ).filter(
      (line) =>
        preparationsOf(line).includes('drain-and-fill') !== workOf([{ ...line, item: null }]).opensCircuit,
    );
    expect(differing).toEqual([]);
  });

  // Common practice, no source.
  it.each([
    ['water-pump', 'replace', ['take-in', 'belt-off', 'drain-and-fill']],
    ['reservoir', 'replace', ['take-in', 'drain-and-fill']],
    ['coolant-filter', 'replace', ['take-in', 'drain-and-fill']],
    ['coolant', 'flush', ['take-in', 'drain-and-fill']],
    ['radiator-cap', 'replace', ['take-in']],
    ['drive-belt', 'replace', ['take-in', 'belt-off']],
    ['drive-belt', 'inspect', ['take-in']],
    ['coolant', 'test', ['take-in']],
  ] as const)('%s: %s', (component, action, preparations) => {
    expect(preparationsOf({ component, action })).toEqual(preparations);
  });
});
