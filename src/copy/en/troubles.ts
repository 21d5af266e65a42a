/** Error texts: sensors, storage, files. Part of `../en.ts`. */

export const troubleWords = {
  source: {
    cancelled: '',
    'no-bluetooth':
      'This browser cannot reach Bluetooth sensors. Chrome or Edge on a computer or an Android phone can. Here the camera can read a dial gauge, and you can open a recording, type in figures, or use the simulated engine.',
    'bluetooth-off':
      'Bluetooth is switched off. Switch it on in the settings of this device, then connect again.',
    'not-allowed':
      'The browser was not allowed to use Bluetooth. Allow it for this page in the browser’s site settings, then connect again.',
    'out-of-range': 'The sensor was not found. Switch it on, hold it closer, then connect again.',
    refused:
      'The sensor refused the connection. Another phone may be connected to it: disconnect it there, then connect again.',
    'timed-out': 'The sensor did not answer in time. Switch it off and on, then connect again.',
    'no-pressure-service':
      'That device offers no pressure this app can read. Choose another one, or name its service on the Sensor page.',
    'unknown-layout':
      'This app does not know how the sensor sends its figures. A layout file on the Sensor page can describe it.',
    'link-lost':
      'The connection to the sensor was lost and did not come back. What was measured until then is saved. Move closer and connect again.',
    'no-serial':
      'This browser cannot reach sensors by cable. Chrome and Edge on a computer can. Here you can open a recording, type in figures, or use the simulated engine.',
    'cable-not-allowed':
      'The browser was not allowed to use the cable. Allow serial ports for this page in the browser’s site settings, then connect again.',
    'port-busy':
      'The cable could not be opened. Another program may be using it: close that program, then connect again.',
    unplugged:
      'The cable is not plugged in. What was measured until then is saved. Plug it in and connect again.',
    'cable-silent':
      'The cable is open, and nothing arrives. Check that the sensor has power and is sending, then connect again.',
    'cable-unreadable':
      'Something arrives by cable, but it is neither lines of text with a number nor the packed stream. Check the wiring and the program in the sensor.',
    'cable-no-unit':
      'The sensor sends numbers without a unit. Choose the unit on the Sensor page, then connect again.',
    'cable-no-range': 'The sensor sends volts. Enter its range on the Sensor page, then connect again.',
    'no-camera':
      'This browser gives no camera to this page. Open the page over https, or use another browser. A film of the dial works here too.',
    'camera-refused':
      'The camera is not allowed for this page. Allow it in the browser’s site settings, then start the camera again.',
    'camera-busy': 'The camera does not start. Close other apps that use it, then start the camera again.',
    'camera-lost':
      'The camera was taken away and did not come back. What was measured until then is saved. Start the camera again.',
    'film-unreadable': 'This browser cannot play that file. Choose an MP4 or WebM film.',
    unexpected:
      'The connection ended, and the reason is not known. Switch the sensor off and on, then connect again.',
  },

  file: {
    empty: 'The file is empty. Choose another one.',
    'not-text': 'The file is not text. Export the recording as CSV and open that.',
    'no-columns': 'No columns were found. A recording needs a column of times and a column of pressures.',
    'no-time': 'No column of times was found. Name it time_s or Time [s] in the first row.',
    'no-pressure':
      'No column of pressures was found. Name it with its unit, such as pressure_kpa or Pressure (psi).',
    'no-rows': 'The file has a heading but no figures under it.',
    'time-not-ascending': 'The times go backwards[ in line {line}]. Sort the rows by time and open it again.',
    'bad-number': 'Something[ in line {line}] is not a number. Correct that line and open it again.',
    'bad-field': 'A field of the file holds something that cannot be. Correct it and open it again.',
    'too-large': 'The file is larger than this app reads. Cut it to the cranking and open it again.',
    'newer-version':
      'The file was written by a newer version of this app. Reload to get it, then open the file again.',
    'not-ours': 'The file was not written by this app. Open a CSV recording instead.',
  },
};
