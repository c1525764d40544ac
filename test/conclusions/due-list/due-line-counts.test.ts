import fc from 'fast-check';
import pg from 'pg';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { type DueLineSeed, seedDueLine } from '../../support/due-lines.js';
import { clientOf, type FleetHandle, type Service, startService } from '../../support/service.js';

const TODAY = '2026-04-02';
const DAYS = ['2026-03-01', '2026-03-30', '2026-04-01', TODAY, '2026-04-03', '2026-05-01', 'infinity'];

describe('the stored counts for summaries', () => {
  let service: Service;
  let fleet: FleetHandle;
  let depots: (string | null)[];

  beforeAll(async () => {
    service = await startService({ at: `${TODAY}T15:00:00Z` });
  });
  beforeEach(async () => {
    service.clock.moveTo(`${TODAY}T15:00:00Z`);
    fleet = await service.newFleet();
    depots = [null];
    for (const name of ['Ridge', 'Harbour'])
      depots.push((await fleet.manager.post('/v1/depots', { name })).body.id);
  });
  afterAll(() => service.stop());

  const sql = (text: string, values: unknown[]): Promise<pg.QueryResult> =>
    service.database.admin.query(text, values);
  const seed = (more: Partial<DueLineSeed> = {}): Promise<DueLineSeed> =>
    seedDueLine(service, fleet.fleetId, {
      ...{ windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13', ...more },
    });
  /**
   * A change by hand raises no change number, and an answer that is kept would be given again:
   * another address each time.
   */
  let asked = 0;
  async function summary(query = '', client = fleet.dashboard): Promise<any> {
    const { status, body } = await client.get(
      `/v1/due-list/summary?units=${asked++ % 2 ? 'us' : 'si'}${query}`,
    );
    expect(status).toBe(200);
    return body;
  }
  const change = (): Promise<unknown> =>
    sql('update fleet_changes set number = number + 1 where fleet_id = $1', [fleet.fleetId]);
  /** Narrowed by a part that every unit number has, the lines themselves are counted. */
  async function expectAsCounted(query = ''): Promise<any> {
    await change();
    const kept = await summary(query);
    expect(kept).toEqual(await summary(`${query}&q=T-`));
    return kept;
  }
  async function heardFor(work: () => Promise<unknown>): Promise<string[]> {
    const heard: string[] = [];
    const listen = (text: string): void => void heard.push(text);
    statementListeners.add(listen);
    await work().finally(() => statementListeners.delete(listen));
    return heard;
  }

  it('equal a count of the lines, whatever happens to lines', async () => {
    const lineArb = fc.record({
      dates: fc
        .tuple(fc.nat(6), fc.nat(6), fc.nat(6))
        .map((three) => three.toSorted((a, b) => a - b).map((n) => DAYS[n] as string)),
      lateLapsesOn: fc.option(fc.constantFrom('2026-04-02', '2026-04-03'), { nil: null }),
      lateForGoodOn: fc.option(fc.constantFrom('2026-04-01', '2026-04-03'), { nil: null }),
      noBaseline: fc.boolean(),
      isOpen: fc.boolean(),
      depot: fc.nat(2),
    });
    await fc.assert(
      fc.asyncProperty(
        fc.array(
          fc.record({ line: lineArb, what: fc.constantFrom('add', 'change', 'remove'), which: fc.nat(20) }),
          {
            minLength: 5,
            maxLength: 25,
          },
        ),
        async (acts) => {
          fleet = await service.newFleet();
          depots = [null];
          for (const name of ['Ridge', 'Harbour'])
            depots.push((await fleet.manager.post('/v1/depots', { name })).body.id);
          await summary();
          const ids: string[] = [];
          for (const { line, what, which } of acts) {
            const { lateLapsesOn, lateForGoodOn, noBaseline, isOpen } = line;
            const [windowOpensOn = '', dueOn = '', lateOn = ''] = line.dates;
            const depotId = depots[line.depot] ?? null;
            const id = ids[which % Math.max(1, ids.length)];
            if (what === 'add' || id === undefined) {
              const added = {
                windowOpensOn,
                dueOn,
                lateOn,
                lateLapsesOn,
                lateForGoodOn,
                noBaseline,
                isOpen,
                depotId,
              };
              ids.push((await seed({ ...added, component: which % 2 ? 'coolant' : 'water-pump' })).id);
            } else if (what === 'change') {
              await sql(
                `update due_lines set window_opens_on = $2, due_on = $3, late_on = $4, late_lapses_on = $5, late_for_good_on = $6,
                   no_baseline = $7, is_open = $8, depot_id = $9 where id = $1`,
                [id, windowOpensOn, dueOn, lateOn, lateLapsesOn, lateForGoodOn, noBaseline, isOpen, depotId],
              );
            } else {
              await sql('delete from due_lines where id = $1', [id]);
            }
          }
          await expectAsCounted();
          await expectAsCounted(`&depotId=${depots[1]}`);
          await expectAsCounted('&component=coolant');
          service.clock.moveTo('2026-04-03T15:00:00Z');
          await expectAsCounted();
          service.clock.moveTo(`${TODAY}T15:00:00Z`);
          await expectAsCounted('&action=replace');
        },
      ),
      { numRuns: 15 },
    );
  });

  it('are read instead of the lines, also after a change', async () => {
    const { id } = await seed({ depotId: depots[1] ?? null });
    expect((await summary()).states.due).toBe(1);
    await sql(`update due_lines set late_on = '2026-04-01' where id = $1`, [id]);
    await change();
    const heard = await heardFor(async () =>
      expect((await summary()).states).toMatchObject({ due: 0, late: 1 }),
    );
    expect(heard.filter((text) => /due_line_counts/.test(text))).toHaveLength(1);
    // What was done is counted from what was completed, beside its lines.
    const ofLines = heard.filter((text) => /\bdue_lines\b|count_due_lines/.test(text));
    expect(ofLines.every((text) => /from completions/.test(text))).toBe(true);
  });

  it('wait for nobody: while somebody changes lines, the committed lines are counted', async () => {
    const { id } = await seed();
    const other = new pg.Client({ connectionString: service.database.url });
    await other.connect();
    try {
      await other.query('begin');
      await other.query(`update due_lines set late_on = '2026-04-01' where id = $1`, [id]);
      expect((await summary()).states).toMatchObject({ due: 1, late: 0 });
      expect(
        (await sql('select from due_line_count_days where fleet_id = $1', [fleet.fleetId])).rowCount,
      ).toBe(0);
      await other.query('commit');
      expect((await expectAsCounted()).states).toMatchObject({ due: 0, late: 1 });
      expect(
        (await sql('select from due_line_count_days where fleet_id = $1', [fleet.fleetId])).rowCount,
      ).toBe(1);
      // Begun before the counts were made, and committed after another one: both are in them.
      await other.query('begin');
      await other.query(`update due_lines set late_on = '2026-04-20' where id = $1`, [id]);
      await seed();
      expect((await expectAsCounted()).states).toMatchObject({ due: 1, late: 1 });
      await other.query('commit');
      expect((await expectAsCounted()).states).toMatchObject({ due: 2, late: 0 });
    } finally {
      await other.end();
    }
  });

  it('are made again when changes have added many rows to them', async () => {
    const { id } = await seed();
    await summary();
    const rows = async (): Promise<number> =>
      (await sql('select from due_line_counts where fleet_id = $1', [fleet.fleetId])).rowCount ?? 0;
    await sql(
      `do $$ begin for n in 1..1100 loop
         update due_lines set late_on = case when late_on = '2026-04-13' then '2026-04-01'::date else '2026-04-13' end where id = '${id}';
       end loop; end $$`,
      [],
    );
    expect(await rows()).toBeGreaterThan(2000);
    expect((await expectAsCounted()).states).toMatchObject({ due: 1, late: 0 });
    expect(await rows()).toBe(1);
  });

  it('do not show a token bound to depots other depots’ lines, and are not made from its view', async () => {
    const ridge = depots[1] ?? '';
    await seed({ depotId: ridge });
    await seed({ depotId: depots[2] ?? null });
    const { body } = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'Ridge board', role: 'dashboard', depotIds: [ridge] },
    });
    const bound = clientOf(service.url, body.token);
    expect((await summary('', bound)).states.due).toBe(1);
    expect((await summary()).states.due).toBe(2);
    await change();
    expect((await summary('', bound)).states.due).toBe(1);
  });
});
