import { randomUUID } from 'node:crypto';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { faultsJson, faultsXml, type PageLinks, snapshotJson, snapshotXml } from './iso-pages.js';
import type { SimulatedMachine } from './machines.js';
import type { Misbehaviour } from './misbehaviours.js';
import { statusesJson } from './rfms-pages.js';

export type Login =
  | { kind: 'none' }
  | { kind: 'basic'; user: string; password: string }
  /** OAuth 2.0 client credentials, RFC 6749, 4.4. */
  | { kind: 'client-credentials'; clientId: string; clientSecret: string; expiresInSeconds: number };

export interface TelematicsServerOptions {
  machines?: SimulatedMachine[];
  pageSize?: number;
  login?: Login;
}

/** A request for data, as it came. Requests for a token are counted by `tokensIssued`. */
export interface SeenRequest {
  path: string;
  accept: string;
  authorization: string | null;
}

/**
 * A real web server that speaks ISO 15143-3 (XML and JSON, by `Accept`) and rFMS 4, for tests to
 * control. Its machines are invented.
 *
 * ISO 15143-3: `/Fleet/{page}` and `/Fleet/Equipment/ID/{id}/Faults/{start}/{end}/{page}`. rFMS:
 * `/rfms/vehiclestatuses`. Tokens: `POST /token`.
 */
export class TelematicsServer {
  url = '';
  machines: SimulatedMachine[];
  pageSize: number;
  login: Login;
  readonly requests: SeenRequest[] = [];
  tokensIssued = 0;
  /** Misbehaviours of the next requests for data, one each. */
  readonly next: Misbehaviour[] = [];
  /** A misbehaviour of every request for data. */
  always: Misbehaviour | null = null;
  /** Each page of ISO 15143-3 names itself as the next. */
  loopsLinks = false;
  /** Links are written relative to the address that was asked. */
  givesRelativeLinks = false;
  /** Whether rFMS says where the rest is; without, it is asked for by `lastVin` or `starttime`. */
  givesRfmsLinks = true;
  /** Headers of every answer with data, such as `x-rate-limit-remaining` of rFMS. */
  headers: Record<string, string> = {};
  /** The clock of the server. */
  now: () => string = () => '2026-04-02T15:30:00Z';
  readonly #tokens = new Map<string, number>();
  readonly #server = createServer((request, reply) => void this.#answer(request, reply));

  constructor({ machines = [], pageSize = 100, login = { kind: 'none' } }: TelematicsServerOptions) {
    this.machines = machines;
    this.pageSize = pageSize;
    this.login = login;
  }

  async listen(): Promise<this> {
    await new Promise<void>((resolve) => this.#server.listen(0, '127.0.0.1', resolve));
    this.url = `http://127.0.0.1:${(this.#server.address() as AddressInfo).port}`;
    return this;
  }

  async close(): Promise<void> {
    this.#server.closeAllConnections();
    await new Promise((resolve) => this.#server.close(resolve));
  }

  /** From now on no token that was issued is accepted, as if it had expired early. */
  revokeTokens(): void {
    this.#tokens.clear();
  }

  async #answer(request: IncomingMessage, reply: ServerResponse): Promise<void> {
    const asked = new URL(request.url ?? '/', this.url);
    if (asked.pathname === '/token') return this.#issueToken(await bodyOf(request), request, reply);
    this.requests.push({
      path: asked.pathname + asked.search,
      accept: request.headers.accept ?? '',
      authorization: request.headers.authorization ?? null,
    });
    const misbehaviour = this.next.shift() ?? this.always;
    if (misbehaviour !== null) return misbehaviour(reply, request);
    if (!this.#isLoggedIn(request.headers.authorization ?? '')) {
      const scheme =
        this.login.kind === 'basic' ? 'Basic realm="telematics"' : 'Bearer error="invalid_token"';
      reply.writeHead(401, { 'www-authenticate': scheme }).end();
    } else this.#answerWithData(asked, /\bjson\b/.test(request.headers.accept ?? ''), reply);
  }

  #isLoggedIn(authorization: string): boolean {
    const { login } = this;
    if (login.kind === 'none') return true;
    if (login.kind === 'basic') return authorization === basic(login.user, login.password);
    const expiresAt = this.#tokens.get(authorization.replace(/^Bearer /, ''));
    return expiresAt !== undefined && Date.now() < expiresAt;
  }

  #issueToken(body: string, { headers }: IncomingMessage, reply: ServerResponse): void {
    const { login } = this;
    const form = new URLSearchParams(body);
    const isClient =
      login.kind === 'client-credentials' &&
      form.get('grant_type') === 'client_credentials' &&
      (headers.authorization === basic(login.clientId, login.clientSecret) ||
        (form.get('client_id') === login.clientId && form.get('client_secret') === login.clientSecret));
    if (!isClient) return send(reply, 400, 'application/json', '{"error":"invalid_client"}');
    const token = randomUUID();
    this.tokensIssued++;
    this.#tokens.set(token, Date.now() + login.expiresInSeconds * 1000);
    const answer = { access_token: token, token_type: 'Bearer', expires_in: login.expiresInSeconds };
    send(reply, 200, 'application/json', JSON.stringify(answer), { 'cache-control': 'no-store' });
  }

  #answerWithData(asked: URL, isJson: boolean, reply: ServerResponse): void {
    const parts = asked.pathname.split('/').filter(Boolean).map(decodeURIComponent);
    const [first, second] = parts;
    if (first === 'rfms' && second === 'vehiclestatuses')
      return send(reply, 200, 'application/json', this.#statuses(asked), this.headers);
    if (first !== 'Fleet') return send(reply, 404, 'text/plain', '');
    const mediaType = isJson ? 'application/json' : 'application/xml';
    const body =
      second === 'Equipment' ? this.#faults(asked, parts, isJson) : this.#snapshot(asked, second, isJson);
    if (body === null) send(reply, 404, 'text/plain', '');
    else send(reply, 200, mediaType, body, this.headers);
  }

  #snapshot(asked: URL, given: string | undefined, isJson: boolean): string | null {
    const page = given === undefined ? 1 : Number(given);
    if (!Number.isInteger(page) || page < 1) return null;
    const machines = this.machines.slice((page - 1) * this.pageSize, page * this.pageSize);
    const links = this.#links(asked, page, Math.ceil(this.machines.length / this.pageSize), '/Fleet/');
    return isJson ? snapshotJson(machines, links) : snapshotXml(machines, links);
  }

  /**
   * `/Fleet/Equipment/ID/{id}/Faults/{start}/{end}/{page}`, by PIN, serial number or equipment ID.
   */
  #faults(asked: URL, parts: readonly string[], isJson: boolean): string | null {
    const [, , by, id, kind, start = '', end = '', number = '1'] = parts;
    const machine = this.machines.find((one) =>
      [one.vin, one.serialNumber, one.equipmentId].includes(id ?? ''),
    );
    if (by !== 'ID' || kind !== 'Faults' || machine === undefined) return null;
    const found = machine.faults.filter(({ at }) => at >= start && at <= end);
    const page = Number(number);
    const here = `/Fleet/Equipment/ID/${encodeURIComponent(id ?? '')}/Faults/${start}/${end}/`;
    const links = this.#links(asked, page, Math.ceil(found.length / this.pageSize), here);
    const faults = found.slice((page - 1) * this.pageSize, page * this.pageSize);
    return isJson ? faultsJson(faults, links) : faultsXml(faults, links);
  }

  #links(asked: URL, page: number, last: number, base: string): PageLinks {
    const to = (number: number): string =>
      this.givesRelativeLinks ? `${base}${number}` : new URL(`${base}${number}`, asked).href;
    const next = this.loopsLinks ? page : page < last ? page + 1 : null;
    return { self: to(page), ...(next === null ? {} : { next: to(next) }), last: to(Math.max(last, 1)) };
  }

  #statuses(asked: URL): string {
    const query = asked.searchParams;
    const isLatest = query.get('latestOnly') === 'true';
    const found = isLatest
      ? this.#after(query.get('lastVin'))
      : this.machines
          .filter(({ at }) => Date.parse(at) >= Date.parse(query.get('starttime') ?? '1970-01-01T00:00:00Z'))
          .sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
    const machines = found.slice(0, this.pageSize);
    const hasMore = found.length > machines.length;
    return statusesJson({
      machines,
      hasMore,
      link: hasMore && this.givesRfmsLinks ? restOf(asked, machines.at(-1), isLatest) : null,
      serverAt: this.now(),
    });
  }

  #after(lastVin: string | null): SimulatedMachine[] {
    const byVin = [...this.machines].sort((a, b) => ((a.vin ?? '') < (b.vin ?? '') ? -1 : 1));
    return lastVin === null ? byVin : byVin.filter(({ vin }) => (vin ?? '') > lastVin);
  }
}

/** The link to the rest: relative, with what was asked for. */
function restOf(asked: URL, last: SimulatedMachine | undefined, isLatest: boolean): string {
  const query = new URLSearchParams(asked.searchParams);
  if (isLatest) query.set('lastVin', last?.vin ?? '');
  else query.set('starttime', new Date(Date.parse(last?.at ?? '') + 1000).toISOString());
  return `${asked.pathname}?${query.toString()}`;
}

const basic = (user: string, password: string): string =>
  `Basic ${Buffer.from(`${user}:${password}`).toString('base64')}`;

async function bodyOf(request: IncomingMessage): Promise<string> {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks).toString('utf8');
}

function send(
  reply: ServerResponse,
  status: number,
  mediaType: string,
  body: string,
  headers: Record<string, string> = {},
): void {
  reply.writeHead(status, { 'content-type': mediaType, ...headers }).end(body);
}

export const startTelematicsServer = (options: TelematicsServerOptions = {}): Promise<TelematicsServer> =>
  new TelematicsServer(options).listen();
