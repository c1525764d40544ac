import type { DataSource } from 'typeorm';
import { SENTENCES_OF_VERDICTS } from '../../../migrations/words/sentences-of-verdicts.js';
import { KeepVerdictsAsMessages1796039864097 } from '../../../migrations/1796039864097-keep-verdicts-as-messages.js';
import { openDataSource } from '../../../src/platform/database/data-source.js';
import { schema } from '../../../src/schema.js';
import { declaredMessages } from '../../support/declared-messages.mjs';
import { textsIn } from '../../support/english.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

/** A verdict as it was stored when verdicts were sentences. */
const STORED = {
  verdict: 'fail',
  reasons: [
    'Lost 3 inHg in 3 minutes, the temperature change taken out; 0.8 inHg in 5 minutes is allowed. Find the leak, mend it, and repeat.',
    'Held 3 of 5 minutes: hold it for 5.',
    'No target is known for this test, so the start itself was not judged.',
  ],
  computed: { lostTooMuch: true, loss: { measure: 'vacuum', value: 10.15916592 } },
  cautions: ['Wear eye and hand protection.', 'Coarse gauge: its uncertainty of 3.4 inHg is as large as it.'],
  basis: ['leak rate Q = V·Δp/Δt, indicative: hoses flex'],
};

const HELD = 'Held: gained 0.5 inHg in 5 minutes.';

describe('the sentences of stored verdicts', () => {
  it('each have a code that is declared and needs no values', async () => {
    const declared = await declaredMessages();
    const unfit = Object.values(SENTENCES_OF_VERDICTS).filter((code) => {
      const parameters = declared.get(code)?.parameters;
      return parameters === undefined || Object.keys(parameters).length > 0;
    });
    expect(unfit).toEqual([]);
  });
});

describe('verdicts that were stored as sentences', () => {
  let service: Service;
  let fleet: FleetHandle;
  let owner: DataSource;
  let vehicleId: string;

  beforeAll(async () => {
    service = await startService({ isAlone: true, at: '2026-06-01T12:00:00Z' });
    fleet = await service.newFleet({ units: 'us' });
    const vehicle = await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-1' });
    vehicleId = vehicle.body.id;
    owner = await openDataSource({
      url: service.database.url,
      role: 'weephole_owner',
      poolSize: 1,
      applicationName: 'test stored verdicts',
      schema,
    });
  });
  afterAll(async () => {
    await owner.destroy();
    await service.stop();
  });

  const inHg = (value: number) => ({ value, unit: 'inHg' });
  const HOLD_TEST = { kind: 'hold-test', method: 'vacuum', start: inHg(20), end: inHg(17), minutes: 3 };

  async function store(evaluation: object, reading: object = HOLD_TEST): Promise<string> {
    const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      ...reading,
      takenAt: '2026-05-01T12:00:00Z',
    });
    expect([status, body]).toEqual([201, expect.anything()]);
    await service.database.admin.query('update readings set evaluation = $2 where id = $1', [
      body.id,
      evaluation,
    ]);
    return body.id;
  }

  const turn = (way: 'up' | 'down') =>
    owner.transaction((tx) => new KeepVerdictsAsMessages1796039864097()[way](tx.queryRunner!));

  const read = async (id: string, language: string) => {
    const { body } = await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/readings`, {
      'accept-language': language,
    });
    return body.items.find((item: { id: string }) => item.id === id).evaluation;
  };

  it('can be read in Spanish, and unknown ones keep their words', async () => {
    const id = await store(STORED);
    const held = await store({ ...STORED, verdict: 'pass', reasons: [HELD], cautions: [], basis: [] });
    await turn('up');
    const { verdict, reasons, cautions, basis } = await read(id, 'es');
    expect(verdict).toBe('fail');
    expect(reasons.map(({ code }: { code: string }) => code)).toEqual([
      'hold-test-lost-too-much',
      'hold-test-too-short',
      'legacy',
    ]);
    expect(reasons[0].values).toMatchObject({ amount: { unit: 'inHg', value: expect.closeTo(3, 6) } });
    expect(textsIn(reasons)[0]).toMatch(/^Perdió 3 inHg en 3 minutos, .*Se permite: 0\.8 inHg en 5 minutos/);
    expect(textsIn(reasons)[1]).toMatch(/La prueba duró 3 de 5 minutos/);
    expect(textsIn(reasons)[2]).toBe(STORED.reasons[2]);
    expect(textsIn(cautions)).toEqual([
      expect.stringMatching(/lentes de seguridad y guantes/),
      STORED.cautions[1],
    ]);
    expect(textsIn(basis)[0]).toContain('las mangueras');
    expect(textsIn((await read(id, 'en')).reasons)[0]).toMatch(/^It lost 3 inHg in 3 minutes after/);
    expect(textsIn((await read(held, 'en')).reasons)[0]).toBe('Held: it gained 0.5 inHg in 5 minutes.');
  });

  it('are known with their full stops, as they were stored', async () => {
    const reasons = [
      'Between MIN and MAX.',
      'At MAX.',
      'The strength is not known.',
      'Whether it leaks was not looked at: look while it is warm.',
      'Ribs not seated in their grooves.',
    ];
    const id = await store({ ...STORED, reasons, cautions: [], basis: [] });
    await turn('up');
    const told = (await read(id, 'en')).reasons as { code: string }[];
    expect(told.map(({ code }) => code)).toEqual([
      'level-between-marks',
      'level-at-max',
      'strength-not-known',
      'warm-up-leak-not-looked-for',
      'belt-ribs-not-seated',
    ]);
  });

  it('name their freezing table by its code, of re-evaluations too, and in full when turned back', async () => {
    const inFull = (base: string) =>
      `ASHRAE Handbook Fundamentals 2001, freezing points of ${base} and water, linear interpolation`;
    const verdict = (table: string | null) => ({
      ...STORED,
      computed: { strengthVolumePercent: 45, table },
      ...{ reasons: [], cautions: [], basis: [] },
    });
    const reading = { kind: 'freeze-point', method: 'refractometer', value: { value: -30, unit: 'C' } };
    const ids = [
      await store(verdict(inFull('ethylene glycol')), reading),
      await store(verdict(inFull('propylene glycol')), { ...reading, base: 'propylene-glycol' }),
      await store(verdict(null), reading),
    ];
    await service.database.admin.query(
      `insert into re_evaluations (fleet_id, id, vehicle_id, reading_id, judged_at, evaluation, limits, why)
       select fleet_id, id, vehicle_id, id, taken_at, evaluation, limits, 'depot-low-temperature'
       from readings where id = any($1)`,
      [ids],
    );
    const tables = async () => {
      const { rows } = await service.database.admin.query<{ read: string; again: string }>(
        `select r.evaluation #>> '{computed,table}' as read, e.evaluation #>> '{computed,table}' as again
         from readings r join re_evaluations e on e.reading_id = r.id where r.id = any($1)
         order by array_position($1, r.id)`,
        [ids],
      );
      return rows.map(({ read, again }) => [read, again]);
    };
    await turn('up');
    expect(await tables()).toEqual([
      ['ASHRAE-2001', 'ASHRAE-2001'],
      ['ASHRAE-2001', 'ASHRAE-2001'],
      [null, null],
    ]);
    await turn('down');
    const [ethylene, propylene] = ['ethylene glycol', 'propylene glycol'].map(inFull);
    expect(await tables()).toEqual([
      [ethylene, ethylene],
      [propylene, propylene],
      [null, null],
    ]);
    await turn('up');
  });

  it('can be turned back into sentences', async () => {
    const id = await store(STORED);
    await turn('up');
    await turn('down');
    const { rows } = await service.database.admin.query('select evaluation from readings where id = $1', [
      id,
    ]);
    const { evaluation } = rows[0];
    expect(evaluation.reasons[2]).toBe(STORED.reasons[2]);
    expect(evaluation.cautions).toEqual(STORED.cautions);
    expect(evaluation.reasons.every((said: unknown) => typeof said === 'string')).toBe(true);
    await turn('up');
  });
});
