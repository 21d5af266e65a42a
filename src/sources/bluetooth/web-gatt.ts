import type { ChooserRequest, GattCharacteristic, GattDevice, GattPort, GattService } from './gatt-port.ts';

/** The port over Web Bluetooth; `undefined` in a browser without it. */
export function createWebGatt(bluetooth: Bluetooth | undefined): GattPort | undefined {
  if (bluetooth === undefined) return undefined;
  return {
    async choose({ announced, services }: ChooserRequest) {
      const optionalServices = [...services];
      const device = await bluetooth.requestDevice(
        announced.length === 0
          ? { acceptAllDevices: true, optionalServices }
          : { filters: announced.map((service) => ({ services: [service] })), optionalServices },
      );
      return webDevice(device);
    },
  };
}

function webDevice(device: BluetoothDevice): GattDevice {
  const server = (): BluetoothRemoteGATTServer => {
    if (device.gatt === undefined)
      throw new DOMException('The device has no GATT server.', 'NotSupportedError');
    return device.gatt;
  };
  return {
    name: device.name,
    connected: () => device.gatt?.connected === true,
    async connect() {
      await server().connect();
    },
    disconnect: () => device.gatt?.disconnect(),
    onDisconnected(call) {
      device.addEventListener('gattserverdisconnected', call);
      return () => device.removeEventListener('gattserverdisconnected', call);
    },
    services: async () => (await server().getPrimaryServices()).map(webService),
  };
}

function webService(service: BluetoothRemoteGATTService): GattService {
  return {
    uuid: service.uuid,
    characteristics: async () => (await service.getCharacteristics()).map(webCharacteristic),
  };
}

function webCharacteristic(characteristic: BluetoothRemoteGATTCharacteristic): GattCharacteristic {
  const { uuid, properties } = characteristic;
  return {
    uuid,
    notifies: properties.notify || properties.indicate,
    readable: properties.read,
    read: async () => copy(await characteristic.readValue()),
    async readDescriptor(wanted) {
      try {
        const descriptor = await characteristic.getDescriptor(wanted);
        return copy(await descriptor.readValue());
      } catch (cause) {
        if (cause instanceof DOMException && cause.name === 'NotFoundError') return undefined;
        throw cause;
      }
    },
    async subscribe(onNotification) {
      // The value is replaced by the next notification, so it is copied within the event.
      const listen = (): void => {
        if (characteristic.value !== undefined) onNotification(copy(characteristic.value));
      };
      // Listen first: a notification may arrive before `startNotifications` resolves.
      characteristic.addEventListener('characteristicvaluechanged', listen);
      const unlisten = (): void => characteristic.removeEventListener('characteristicvaluechanged', listen);
      try {
        await characteristic.startNotifications();
      } catch (cause) {
        unlisten();
        throw cause;
      }
      return () => {
        unlisten();
        // Rejects on a lost link, which is irrelevant here.
        characteristic.stopNotifications().catch(() => undefined);
      };
    },
  };
}

function copy(view: DataView): DataView {
  return new DataView(view.buffer.slice(view.byteOffset, view.byteOffset + view.byteLength));
}
