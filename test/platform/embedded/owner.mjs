// A separate process that owns an embedded PostgreSQL, for tests that kill it. Runs the compiled
// service, reports its state on standard output, and obeys one word on standard input.
import pg from 'pg';
import { startEmbedded, stopOnSignals } from '../../../dist/src/platform/embedded/embedded-postgres.js';

const [dataDir, options] = process.argv.slice(2);
const say = (message) => process.stdout.write(`${JSON.stringify(message)}\n`);
const { handleSignals, ...startOptions } = JSON.parse(options);

let server;
try {
  server = await startEmbedded({ dataDir, ...startOptions });
} catch (error) {
  say({ refused: error.message });
  process.exit(1);
}
if (handleSignals === 'itself') {
  process.on('SIGINT', async () => {
    const client = new pg.Client({ connectionString: server.url });
    await client.connect();
    const { rows } = await client.query('select count(*)::int as rows from kept');
    await client.end();
    await server.stop();
    say({ answeredAfterSignal: rows[0].rows });
    process.exit(0);
  });
}
if (handleSignals === 'for us') stopOnSignals(server);
say({ url: server.url, port: server.port, pid: server.pid, takenOver: server.takenOver });

for await (const word of process.stdin) {
  if (String(word).trim() === 'exit') process.exit(0);
  if (String(word).trim() === 'stop') {
    await server.stop();
    say({ stopped: true });
    process.exit(0);
  }
}
