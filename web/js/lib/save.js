// Files the browser makes itself.

/** Hands content to the person as a file. @param {string} name @param {Blob} content */
export function saveAs(name, content) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(content);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000); // the browser reads it after the click has ended
}

/** A picture in SVG as PNG, at twice its size so that it stays sharp on paper. @param {{source: string, width: number, height: number}} picture @returns {Promise<Blob>} */
export function toPixels({ source, width, height }) {
  const address = URL.createObjectURL(new Blob([source], { type: "image/svg+xml" }));
  return new Promise((done, failed) => {
    const image = new Image();
    image.onerror = () => failed(new Error("The picture could not be read."));
    image.onload = () => {
      const canvas = Object.assign(document.createElement("canvas"), { width: width * 2, height: height * 2 });
      canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
      URL.revokeObjectURL(address);
      canvas.toBlob(content => (content ? done(content) : failed(new Error("The picture could not be made."))), "image/png");
    };
    image.src = address;
  });
}
