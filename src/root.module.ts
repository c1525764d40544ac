import { type DynamicModule, Module, type Type } from '@nestjs/common';
import type { Clock } from './platform/clock/clock.js';
import type { Config } from './platform/config/config.js';
import { PlatformModule } from './platform.module.js';

/** The root module of a process: what every process needs, and the parts of this one. */
export function rootModule(config: Config, clock: Clock, parts: Type[]): DynamicModule {
  @Module({})
  class RootModule {}
  return { module: RootModule, imports: [PlatformModule.with(config, clock), ...parts] };
}
