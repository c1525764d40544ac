import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('a problem', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  const SPANISH = { 'accept-language': 'es' };

  it('is told as a code with its values, and each of its faults likewise', async () => {
    const { status, body } = await fleet.manager.post('/v1/depots', { name: 'Ridge', elevation: 7 });
    expect(status).toBe(422);
    const fault = {
      code: 'field-not-quantity',
      values: { given: '7', unit: 'mm' },
      detail: expect.stringContaining('is 7; an amount with its unit'),
    };
    expect(body.errors).toEqual([{ pointer: '/elevation', ...fault }]);
    expect(body).toMatchObject({
      code: 'fault-at-place',
      values: {
        place: { code: 'place-field', values: { pointer: '/elevation' }, text: '/elevation' },
        fault: { code: fault.code, values: fault.values },
      },
      detail: `/elevation: ${body.errors[0].detail}`,
    });
  });

  it('says of a text that it is too short, and of an empty one that it is blank', async () => {
    const href = '/v1/job-reports/0190a4c1-0000-7000-8000-000000000000/void';
    const fault = async (reason: string) => {
      const { status, body } = await fleet.manager.post(href, { reason });
      const [{ code, values, detail }] = body.errors;
      return [status, code, values, detail];
    };
    const says = 'is 2 characters long; at least 3 are needed';
    expect(await fault(' ab ')).toEqual([422, 'field-too-short', { length: 2, min: 3 }, says]);
    expect(await fault('   ')).toEqual([422, 'field-blank', {}, 'is blank']);
  });

  it('is told in the language that the request asks for', async () => {
    const { body } = await fleet.manager.post('/v1/depots', { name: '', elevation: 7, color: 1 }, SPANISH);
    expect(body.title).toBe('El contenido no se puede aceptar');
    expect(body.detail).toBe('3 campos no se pueden aceptar; los primeros 3 están en errors.');
    expect(body.errors.map(({ detail }: { detail: string }) => detail)).toEqual(
      expect.arrayContaining([
        'está en blanco',
        expect.stringContaining('es 7; se necesita una cantidad'),
        'no es un campo conocido aquí',
      ]),
    );
    const missing = await fleet.manager.get('/v1/depots/0193788e-6a3c-7d12-9f00-5b2c8f0e4a11', SPANISH);
    expect(missing.body).toMatchObject({
      title: 'No se encontró',
      code: 'no-such-record',
      values: { what: 'depot' },
      detail: 'No existe ese patio en esta flota.',
    });
    const nobody = await service.client(null).get('/v1/fleet', SPANISH);
    expect(nobody.body).toMatchObject({
      code: 'authorization-missing',
      title: 'Se necesita un token válido',
    });
    const query = await fleet.manager.get('/v1/depots?limit=0', SPANISH);
    expect(query.body.detail).toBe('limit: debe ser un número entero de 1 a 200');
  });

  it('repeats what was sent as it was sent, whatever it looks like', async () => {
    const given = "$value {min} '{' $property";
    const { body } = await fleet.manager.post('/v1/depots', { name: 'Ridge', elevation: given });
    expect(body.errors[0].values.given).toBe(JSON.stringify(given));
    expect(body.errors[0].detail).toContain(`is ${JSON.stringify(given)};`);
  });

  it('of a file is told by line and column, in the language that the request asks for', async () => {
    const file = 'unit,inServiceOdometer (mi),year\nR-1,81 o 9,2019\n';
    const { status, body } = await fleet.manager.send('POST', '/v1/vehicles/import', file, {
      'content-type': 'text/csv',
      ...SPANISH,
    });
    expect(status).toBe(422);
    expect(body).toMatchObject({
      code: 'import-refused',
      values: { rejected: 1, rows: 1 },
      detail: expect.stringMatching(/^No se puede aceptar 1 de 1 fila, /),
    });
    expect(body.errors).toEqual([
      {
        line: 2,
        column: 'inServiceOdometer (mi)',
        value: '81 o 9',
        code: 'cell-not-number',
        values: { given: '"81 o 9"', has: 'none' },
        detail: 'es "81 o 9"; se necesita un número, por ejemplo 2019 o 12.5',
      },
    ]);
    const header = await fleet.manager.send('POST', '/v1/vehicles/import', 'unitt\nR-1\n', {
      'content-type': 'text/csv',
      ...SPANISH,
    });
    expect(header.body.errors[0]).toMatchObject({ line: 1, column: 'unitt', code: 'column-misspelt' });
    expect(header.body.errors[0].detail).toContain('¿quiso decir unit');
  });

  it('of what was tried out is told alike', async () => {
    const file = 'unit,driver\nR-2,Ana\n';
    const { body } = await fleet.manager.send('POST', '/v1/vehicles/import?dryRun=true', file, {
      'content-type': 'text/csv',
      ...SPANISH,
    });
    expect(body.notices).toEqual([
      {
        line: 1,
        column: 'driver',
        code: 'column-unknown',
        values: {},
        detail: 'no se conoce aquí y se omitió',
      },
    ]);
  });
});
