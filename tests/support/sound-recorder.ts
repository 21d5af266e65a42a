/** Records what the browser delivers to the app, independently of the app. */
import type { Page } from 'playwright-core';

/** Call before the page is opened. What it returns gives the bytes of every notification so far, in order. */
export async function listenIn(page: Page): Promise<() => Promise<Uint8Array<ArrayBuffer>[]>> {
  await page.addInitScript(() => {
    const overheard: number[][] = [];
    Object.assign(window, { overheard });
    const known = new WeakSet<BluetoothRemoteGATTCharacteristic>();
    const { prototype } = (
      window as unknown as {
        BluetoothRemoteGATTCharacteristic: { readonly prototype: BluetoothRemoteGATTCharacteristic };
      }
    ).BluetoothRemoteGATTCharacteristic;
    const { startNotifications } = prototype;
    prototype.startNotifications = function listen() {
      if (!known.has(this)) {
        known.add(this);
        this.addEventListener('characteristicvaluechanged', () => {
          const { buffer, byteOffset, byteLength } = this.value!;
          overheard.push([...new Uint8Array(buffer, byteOffset, byteLength)]);
        });
      }
      return startNotifications.call(this);
    };
  });
  return async () => {
    const overheard = await page.evaluate(() => (window as unknown as { overheard: number[][] }).overheard);
    return overheard.map((octets) => Uint8Array.from(octets));
  };
}
