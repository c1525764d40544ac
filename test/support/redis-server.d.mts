export interface RedisServer {
  url: string;
  port?: number;
  stop(): Promise<void>;
}

export function redisAvailable(): boolean;
export function freePort(): Promise<number>;
export function startRedis(): Promise<RedisServer>;
export function startOwnRedis(port?: number): Promise<RedisServer & { port: number }>;
