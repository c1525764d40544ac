import { Module } from '@nestjs/common';
import { Config } from '../../platform/config/config.js';
import { StreamSettings } from './stream-settings.js';

/** One set of stream settings in a process, whatever else runs in it. */
@Module({
  providers: [
    {
      provide: StreamSettings,
      inject: [Config],
      useFactory: ({ processStreams, fleetLimits }: Config): StreamSettings =>
        Object.assign(new StreamSettings(), {
          mostStreams: processStreams,
          mostStreamsOfFleet: fleetLimits.streams,
        }),
    },
  ],
  exports: [StreamSettings],
})
export class StreamSettingsModule {}
