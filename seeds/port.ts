import { createServer } from 'node:net';
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
    throw new ConfigError(explain(code ?? String(error), host, port));
  }
}

function explain(code: string, host: string, port: number): string {
  switch (code) {
    case 'EADDRINUSE':
      return `PORT is ${port}, which another program listens on. Stop that program, or set PORT to another port (0 takes a free one).`;
    case 'EACCES':
      return `PORT is ${port}, which only root may listen on. Set PORT to 1024 or more.`;
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
      return `HOST is "${host}", which is no address of this machine. Leave it out for 127.0.0.1, or use 0.0.0.0 for all.`;
    default:
      return `Cannot listen on ${host}, port ${port}: ${code}.`;
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
