/* Reads a code by the phone's camera where the browser itself can; else nothing shows
   and the code is typed. The picture never leaves the phone. */
(() => {
  "use strict";
  const words = document.currentScript.dataset;
  const can = "BarcodeDetector" in window && navigator.mediaDevices;
  for (const input of document.querySelectorAll("input[data-scan]")) {
    const box = document.createElement("div");
    box.className = "scanner";
    input.after(box);
    if (!can) {
      const note = document.createElement("small");
      note.className = "help";
      note.textContent = words.cannot;
      box.append(note);
      continue;
    }
    const button = document.createElement("button");
    button.type = "button";
    button.className = "quiet";
    button.textContent = words.scan;
    box.append(button);
    button.addEventListener("click", () => scan(input, box, button));
  }

  async function scan(input, box, button) {
    button.disabled = true;
    const video = document.createElement("video");
    video.setAttribute("playsinline", "");
    video.muted = true;
    let stream;
    try {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
      video.srcObject = stream;
      box.append(video);
      await video.play();
      const detector = new BarcodeDetector();
      const until = Date.now() + 60000;
      while (Date.now() < until && box.contains(video)) {
        const found = await detector.detect(video);
        if (found.length) {
          input.value = found[0].rawValue.slice(0, input.maxLength > 0 ? input.maxLength : 300);
          input.focus();
          break;
        }
        await new Promise((done) => setTimeout(done, 150));
      }
    } catch (error) {
      const note = document.createElement("small");
      note.className = "help";
      note.textContent = words.failed;
      box.append(note);
    } finally {
      if (stream) stream.getTracks().forEach((track) => track.stop());
      video.remove();
      button.disabled = false;
    }
  }
})();
