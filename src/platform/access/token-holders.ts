import pg from 'pg';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import type { Role } from './roles.js';

export interface TokenHolder {
  fleet_id: string;
  token_id: string;
  role: Role;
  depot_ids: string[] | null;
  time_zone: string;
  units: UnitSystem;
  expires_at: Date | null;
  /** The fleet's, by which its lists are tagged. */
  change_number: number;
}

interface Asker {
  hash: Buffer;
  at: Date;
  resolve: (holder: TokenHolder | null) => void;
  reject: (error: unknown) => void;
}

const HOLDERS = `select a.place::int as place, h.*, change_number_of(h.fleet_id)::float8 as change_number
  from unnest($1::bytea[]) with ordinality as a(hash, place) cross join lateral token_holder(a.hash, $2) h`;

/** Questions under way at a time, and tokens in one of them. */
const MOST_UNDER_WAY = 2;
const MOST_AT_ONCE = 100;

/**
 * Finds who holds a token: a database function that sees all fleets' is asked. Those who ask while questions are under way wait for one
 * to end and share the next, so that many requests at a time take few statements. The answer is always as of after the asking.
 */
export class TokenHolders {
  private waiting: Asker[] = [];
  private underWay = 0;

  private readonly pool: pg.Pool;

  /** Connections of its own: who asks is in no fleet yet, and those of the service would be set back and forth. */
  constructor(databaseUrl: string) {
    this.pool = new pg.Pool({
      connectionString: databaseUrl,
      max: MOST_UNDER_WAY,
      keepAlive: true,
      connectionTimeoutMillis: 5_000,
      statement_timeout: 60_000,
      application_name: 'weephole tokens',
      options: '-c role=weephole_app -c timezone=UTC',
    });
    // One that breaks while idle is replaced when it is next needed.
    this.pool.on('error', () => undefined);
  }

  close(): Promise<void> {
    return this.pool.end();
  }

  /** @param at when it is, for noting that the token was used */
  find(hash: Buffer, at: Date): Promise<TokenHolder | null> {
    return new Promise((resolve, reject) => {
      this.waiting.push({ hash, at, resolve, reject });
      if (this.underWay < MOST_UNDER_WAY) void this.askOn();
    });
  }

  private async askOn(): Promise<void> {
    this.underWay++;
    // Requests that came in the same turn of the event loop go together.
    await new Promise((resolve) => setImmediate(resolve));
    for (let askers = this.next(); askers.length > 0; askers = this.next()) await this.ask(askers);
    this.underWay--;
  }

  private next(): Asker[] {
    return this.waiting.splice(0, MOST_AT_ONCE);
  }

  private async ask(askers: Asker[]): Promise<void> {
    try {
      const { rows } = await this.pool.query<TokenHolder & { place: number }>({
        name: 'token_holders',
        text: HOLDERS,
        values: [askers.map(({ hash }) => hash), askers.at(-1)?.at],
      });
      const byPlace = new Map(rows.map((holder) => [holder.place, holder]));
      for (const [index, { resolve }] of askers.entries()) resolve(byPlace.get(index + 1) ?? null);
    } catch (error) {
      for (const { reject } of askers) reject(error);
    }
  }
}
