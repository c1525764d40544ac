import { Module } from '@nestjs/common';
import { StreamSettings } from './stream-settings.js';

/** One set of them in a process, whatever else runs in it. */
@Module({ providers: [StreamSettings], exports: [StreamSettings] })
export class StreamSettingsModule {}
