import { createServer } from 'node:net';
import { message } from '../src/commands/messages.js';
import type { Message } from '../src/domain/message.js';
import { ConfigError } from '../src/platform/config/config.js';

/**
 * Chooses the port to listen on: the requested one, or another one if none was requested and the
 * default is taken.
 *
 * @param isAsked whether `PORT` was set
 * @throws ConfigError when the port or the address cannot be used
 */
export async function choosePort(
  host: string,
  port: number,
  isAsked: boolean,
  onProgress: (what: string) => void,
): Promise<number> {
  try {
    await tryListening(host, port);
    return port;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EADDRINUSE' && !isAsked) {
      onProgress(`Port ${port} is in use; taking a free one instead. Set PORT to choose.`);
      return 0;
    }
    throw new ConfigError(explain(code ?? String(error), host, String(port)));
  }
}

function explain(code: string, host: string, port: string): Message {
  switch (code) {
    case 'EADDRINUSE':
      return message('port-taken', { port });
    case 'EACCES':
      return message('port-for-root', { port });
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
      return message('host-not-here', { host });
    default:
      return message('host-port-not-usable', { host, port, why: code });
  }
}

function tryListening(host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(port, host, () => server.close(() => resolve()));
  });
}

/** The URL for a client on this machine. */
export function urlOf(host: string, port: number): string {
  const reachable = host === '0.0.0.0' ? '127.0.0.1' : host === '::' ? '[::1]' : host;
  return `http://${reachable.includes(':') && !reachable.startsWith('[') ? `[${reachable}]` : reachable}:${port}`;
}
