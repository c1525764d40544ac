/** One event of a stream; a block that carries an id alone has no data. */
export interface ServerEvent {
  event: string;
  id: string | null;
  data: string | null;
  retryMs: number | null;
}

/**
 * Takes a stream of server-sent events apart, as the HTML Standard has it, however its text is cut
 * into pieces.
 */
export function eventReader(): (piece: string) => ServerEvent[] {
  let rest = '';
  return (piece) => {
    const blocks = (rest + piece).split(/\r\n\r\n|\n\n|\r\r/);
    rest = blocks.pop() ?? '';
    return blocks.map(eventOf);
  };
}

function eventOf(block: string): ServerEvent {
  const read: ServerEvent = { event: 'message', id: null, data: null, retryMs: null };
  for (const line of block.split(/\r\n|\n|\r/)) {
    const [, field = '', value = ''] = /^([^:]*)(?:: ?(.*))?$/s.exec(line) ?? [];
    if (field === 'event') read.event = value;
    if (field === 'id' && !value.includes('\0')) read.id = value;
    if (field === 'data') read.data = read.data === null ? value : `${read.data}\n${value}`;
    if (field === 'retry' && /^\d+$/.test(value)) read.retryMs = Number(value);
  }
  return read;
}

/**
 * How long to wait before the stream is opened anew: what the service said, doubled with each
 * failure in a row up to half a minute, and drawn at random above its half, so that pages that
 * were cut off together do not come back together.
 *
 * @param draw a number from 0 to 1
 */
export function comebackMs(retryMs: number, failures: number, draw: number): number {
  const bound = Math.min(30_000, retryMs * 2 ** Math.max(0, failures - 1));
  return bound / 2 + (bound / 2) * draw;
}
