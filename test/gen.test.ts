import 'reflect-metadata';
import { writeFileSync } from 'node:fs';
import { buildDataSource } from '../src/platform/database/data-source.js';
import { schema } from '../src/schema.js';
import { ensureRoles } from '../src/platform/database/roles.js';
import pg from 'pg';
it('gen', async () => {
  const url = 'postgres://postgres@127.0.0.1:54999/w';
  const c = new pg.Client(url); await c.connect(); await ensureRoles(c); await c.end();
  const ds = buildDataSource({ url, role: 'weephole_owner', poolSize: 2, applicationName: 'x', schema });
  await ds.initialize();
  const log = await ds.driver.createSchemaBuilder().log();
  writeFileSync('/tmp/ddl.sql', log.upQueries.map((q) => q.query + ';').join('\n'));
  await ds.destroy();
});
