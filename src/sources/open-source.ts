import type { Clock, KeyValueStorage, Log } from '../platform/ports.ts';
import type { BluetoothSettings } from './bluetooth/settings.ts';
import type { SampleSource } from './port.ts';
import type { CableSettings } from './serial/settings.ts';
import type { SimulatorControls, SourceChoice } from './source-choice.ts';

/** A source that is not yet open. `controls`: of the simulated engine only. */
export interface OpenedSource {
  readonly source: SampleSource;
  readonly controls?: SimulatorControls;
}

/** Creates the source that the user chose. The code of each kind is loaded on demand. */
export function createSourceOpener(
  clock: Clock,
  bluetooth: Bluetooth | undefined,
  sensorSettings: () => BluetoothSettings & CableSettings,
  storage: KeyValueStorage,
  log?: Pick<Log, 'add'>,
): (choice: SourceChoice) => Promise<OpenedSource> {
  let sensor: SampleSource | null = null;
  let cable: SampleSource | null = null;
  return async (choice) => {
    switch (choice.kind) {
      case 'bluetooth': {
        if (sensor && choice.again) return { source: sensor };
        const [{ createBluetoothSource }, { createWebGatt }] = await Promise.all([
          import('./bluetooth/bluetooth-source.ts'),
          import('./bluetooth/web-gatt.ts'),
        ]);
        sensor = createBluetoothSource({
          gatt: createWebGatt(bluetooth),
          clock,
          settings: sensorSettings(),
          log,
        });
        return { source: sensor };
      }
      case 'serial': {
        if (cable && choice.again) return { source: cable };
        const [{ createCableSource }, { webSerial }] = await Promise.all([
          import('./serial/cable-source.ts'),
          import('./serial/web-serial.ts'),
        ]);
        const { textKpaPerUnit: kpaPerUnit, volts } = sensorSettings();
        cable = createCableSource({
          serial: webSerial(),
          clock,
          storage,
          settings: { kpaPerUnit, volts },
          log,
        });
        return { source: cable };
      }
      case 'camera': {
        const { createCameraSource } = await import('./camera/camera-source.ts');
        return { source: createCameraSource({ ...choice, clock, log }) };
      }
      case 'simulated': {
        const [{ createSimulatedSource }, { engineFromFacts }] = await Promise.all([
          import('./simulated.ts'),
          import('../../simulator/engine-from-facts.ts'),
        ]);
        const {
          engine,
          rig,
          sensor: transducer,
        } = engineFromFacts(choice.facts, choice.faults, choice.seed, choice.hose);
        const simulated = createSimulatedSource({
          clock,
          engine,
          rig,
          seed: choice.seed,
          sensor: transducer,
        });
        return { source: simulated.source, controls: simulated };
      }
      case 'replay': {
        const { createReplaySource } = await import('./replay.ts');
        return { source: createReplaySource({ ...choice, clock }) };
      }
    }
  };
}
