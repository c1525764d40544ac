import { once } from 'node:events';
import { get, type IncomingMessage } from 'node:http';
import { until } from './receiver.js';
import type { Client } from './service.js';

export interface StreamEvent {
  event: string;
  id: string;
  data: any;
}

export interface EventStream {
  status: number;
  headers: Headers;
  events: StreamEvent[];
  /** The id with which an EventSource would reconnect. */
  lastEventId: string;
  comments: number;
  /** Whether the other side has ended the stream or cut it off. */
  isOver: boolean;
  body: any;
  untilEvents(count: number, what?: (event: StreamEvent) => boolean): Promise<StreamEvent[]>;
  close(): Promise<void>;
}

/**
 * Reads server-sent events as the HTML Standard says: a block without data is not an event, but it
 * still sets the id.
 */
export async function openStream(
  url: string,
  client: Client,
  query = '',
  lastEventId?: string,
  more: Record<string, string> = {},
): Promise<EventStream> {
  // Does not use fetch: when it is cut off, it at once opens another connection and sends nothing
  // on it, and a server that is closing would wait for that one.
  const request = get(`${url}/v1/due-list/events${query}`, {
    agent: false,
    headers: {
      ...(client.token === '' ? {} : { authorization: `Bearer ${client.token}` }),
      ...(lastEventId === undefined ? {} : { 'last-event-id': lastEventId }),
      ...more,
    },
  });
  const [response] = (await once(request, 'response')) as [IncomingMessage];
  request.on('error', () => undefined);
  response.setEncoding('utf8');
  const stream: EventStream = {
    status: response.statusCode ?? 0,
    headers: new Headers(response.headers as Record<string, string>),
    events: [],
    lastEventId: lastEventId ?? '',
    comments: 0,
    isOver: false,
    body: null,
    async untilEvents(count, what = () => true) {
      await until(() => stream.events.filter(what).length >= count);
      return stream.events.filter(what);
    },
    async close() {
      request.destroy();
      await reading.catch(() => undefined);
    },
  };
  let hasBegun = false;
  const take = (block: string): void => {
    hasBegun = true;
    let event = 'message';
    let data: string | null = null;
    for (const line of block.split('\n')) {
      const [field = '', value = ''] = line.split(/: (.*)/s);
      if (field === '') stream.comments++;
      if (field === 'id') stream.lastEventId = value;
      if (field === 'event') event = value;
      if (field === 'data') data = data === null ? value : `${data}\n${value}`;
    }
    if (data !== null) stream.events.push({ event, id: stream.lastEventId, data: JSON.parse(data) });
  };
  async function read(): Promise<void> {
    let rest = '';
    try {
      for await (const chunk of response) {
        const blocks = (rest + String(chunk)).split('\n\n');
        rest = blocks.pop() ?? '';
        blocks.forEach(take);
      }
    } finally {
      stream.isOver = true;
    }
  }
  if (stream.status !== 200) {
    let text = '';
    for await (const chunk of response) text += String(chunk);
    stream.body = JSON.parse(text);
    stream.isOver = true;
  }
  const reading = stream.status === 200 ? read() : Promise.resolve();
  reading.catch(() => undefined);
  if (stream.status === 200) await until(() => hasBegun || stream.isOver);
  return stream;
}
