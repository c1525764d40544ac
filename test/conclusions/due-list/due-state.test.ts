import { addDays } from '../../../src/domain/calendar/civil-date.js';
import type { DueState } from '../../../src/domain/intervals/types.js';
import { stateOf } from '../../../src/domain/conclusions/stored-line.js';
import { inStateOnDay, standsOnDay, stateOnDay } from '../../../src/conclusions/due-list/due-state.sql.js';
import { cloneDatabase, type TestDatabase } from '../../support/database.js';

const STATES: DueState[] = ['not-due', 'window', 'due', 'late', 'no-baseline'];
const START = '2026-02-20';

/** Every order of the dates that can be stored, a few days apart, with and without lapsing. */
function lines(): Parameters<typeof stateOf>[0][] {
  const dated = [0, 3].flatMap((lead) =>
    [1, 4].flatMap((grace) => {
      const windowOpensOn = addDays(START, 4);
      const dueOn = addDays(windowOpensOn, lead);
      const lateOn = addDays(dueOn, grace);
      const base = {
        noBaseline: false,
        windowOpensOn,
        dueOn,
        lateOn,
        lateLapsesOn: null,
        lateForGoodOn: null,
      };
      const lateLapsesOn = addDays(lateOn, 2);
      return [base, { ...base, lateLapsesOn }, { ...base, lateLapsesOn, lateForGoodOn: addDays(lateOn, 5) }];
    }),
  );
  const never = {
    windowOpensOn: 'infinity',
    dueOn: 'infinity',
    lateOn: 'infinity',
    lateLapsesOn: null,
    lateForGoodOn: null,
  };
  return [...dated, { ...never, noBaseline: true }, { ...never, noBaseline: false }];
}

describe('the state of a due line', () => {
  let database: TestDatabase;
  beforeAll(async () => {
    database = await cloneDatabase();
  });
  afterAll(() => database.drop());

  it('is the same in the database and in the code on every day, and is always exactly one state', async () => {
    const seen = new Set<DueState>();
    for (const line of lines()) {
      for (let days = 0; days <= 22; days++) {
        const day = addDays(START, days);
        const { rows } = await database.admin.query(
          `select ${stateOnDay('$7::date')} as state, ${standsOnDay('$7::date', '30')} as stands,
             array[${STATES.map((state) => `case when ${inStateOnDay(state, '$7::date', '30')} then '${state}' end`).join(', ')}] as states
           from (select true as is_open, $1::boolean as no_baseline, $2::date as window_opens_on, $3::date as due_on,
             $4::date as late_on, $5::date as late_lapses_on, $6::date as late_for_good_on) l`,
          [
            line.noBaseline,
            line.windowOpensOn,
            line.dueOn,
            line.lateOn,
            line.lateLapsesOn,
            line.lateForGoodOn,
            day,
          ],
        );
        const state = stateOf(line, day);
        seen.add(state);
        expect({ line, day, ...rows[0], states: rows[0].states.filter(Boolean) }).toEqual({
          line,
          day,
          state,
          stands: ['window', 'due', 'late'].includes(state),
          states: [state],
        });
      }
    }
    expect([...seen].sort()).toEqual([...STATES].sort());
  });
});
