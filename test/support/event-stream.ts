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
  /** The id that an EventSource would come back with. */
  lastEventId: string;
  comments: number;
  /** Whether the other side has ended it, or cut it off. */
  isOver: boolean;
  body: any;
  untilEvents(count: number, what?: (event: StreamEvent) => boolean): Promise<StreamEvent[]>;
  close(): Promise<void>;
}

/** Reads server-sent events as the HTML Standard says: a block without data is no event, and sets the id all the same. */
export async function openStream(
  url: string,
  client: Client,
  query = '',
  lastEventId?: string,
): Promise<EventStream> {
  const aborter = new AbortController();
  const response = await fetch(`${url}/v1/due-list/events${query}`, {
    signal: aborter.signal,
    headers: {
      ...(client.token === '' ? {} : { authorization: `Bearer ${client.token}` }),
      ...(lastEventId === undefined ? {} : { 'last-event-id': lastEventId }),
    },
  });
  const stream: EventStream = {
    status: response.status,
    headers: response.headers,
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
      aborter.abort();
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
      for await (const chunk of response.body?.pipeThrough(new TextDecoderStream()) ?? []) {
        const blocks = (rest + chunk).split('\n\n');
        rest = blocks.pop() ?? '';
        blocks.forEach(take);
      }
    } finally {
      stream.isOver = true;
    }
  }
  if (response.status !== 200) {
    stream.body = await response.json();
    stream.isOver = true;
  }
  const reading = response.status === 200 ? read() : Promise.resolve();
  reading.catch(() => undefined);
  if (response.status === 200) await until(() => hasBegun || stream.isOver);
  return stream;
}
