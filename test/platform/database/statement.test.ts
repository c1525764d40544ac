import { type DataSource, type EntityManager, QueryFailedError } from 'typeorm';
import { openDataSource } from '../../../src/platform/database/data-source.js';
import { pipelined } from '../../../src/platform/database/pipelined.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { runStatement } from '../../../src/platform/database/statement.js';
import { cloneDatabase, type TestDatabase } from '../../support/database.js';

describe('a statement', () => {
  let database: TestDatabase;
  let dataSource: DataSource;

  beforeAll(async () => {
    database = await cloneDatabase();
    dataSource = await openDataSource({
      ...{ url: database.url, role: 'weephole_app', poolSize: 2, applicationName: 'statements' },
      schema: { entities: [], migrations: [] },
    });
  });
  afterAll(async () => {
    await dataSource.destroy();
    await database.drop();
  });

  const preparedIn = async (tx: EntityManager): Promise<string[]> =>
    (await tx.query<{ name: string }[]>('select name from pg_prepared_statements order by name')).map(
      ({ name }) => name,
    );

  it('is prepared under its name, and one without a name is not', async () => {
    await dataSource.transaction(async (tx) => {
      const sum = { name: 'sum', text: 'select $1::int + $2::int as sum', values: [1, 2] };
      expect(await runStatement(tx, sum)).toEqual([{ sum: 3 }]);
      expect(await runStatement(tx, { ...sum, values: [3, 4] })).toEqual([{ sum: 7 }]);
      expect(await runStatement(tx, { text: 'select $1::int as n', values: [5] })).toEqual([{ n: 5 }]);
      expect((await preparedIn(tx)).filter((name) => name !== 'set_fleet')).toEqual(['sum']);
    });
  });

  it('gives rows as arrays of values on request', async () => {
    const two = { text: 'select $1::int as a, $2::date as b', values: [1, '2026-03-02'] };
    expect(await runStatement(dataSource.manager, { ...two, rowMode: 'array' })).toEqual([[1, '2026-03-02']]);
    expect(await runStatement(dataSource.manager, two)).toEqual([{ a: 1, b: '2026-03-02' }]);
  });

  it('fails like one without a name', async () => {
    const failing = runStatement(dataSource.manager, {
      name: 'bad',
      text: 'select 1 / $1::int',
      values: [0],
    });
    await expect(failing).rejects.toBeInstanceOf(QueryFailedError);
    await expect(failing).rejects.toMatchObject({ driverError: { code: '22012' } });
  });

  it('is sent in its turn among others, and observed with its values and name', async () => {
    const heard: unknown[] = [];
    const listen = (...all: unknown[]): void => void heard.push(all);
    await dataSource.transaction(async (tx) => {
      statementListeners.add(listen);
      await pipelined([
        () => tx.query('select $1::int', [1]),
        () => runStatement(tx, { name: 'second', text: 'select $1::text', values: ['2'] }),
        () => tx.query('select 3'),
      ]);
      statementListeners.delete(listen);
    });
    expect(heard).toEqual([
      ['select $1::int', [1], undefined],
      ['select $1::text', ['2'], 'second'],
      ['select 3', [], undefined],
    ]);
  });
});
