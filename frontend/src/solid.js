// The log and its slabs in three dimensions: turn it, open it, touch a slab to read its number.
import {
  AmbientLight, BufferAttribute, BufferGeometry, Color, DirectionalLight, EdgesGeometry, Group, LineBasicMaterial,
  LineSegments, Mesh, MeshLambertMaterial, PerspectiveCamera, Raycaster, Scene, Vector2, WebGLRenderer,
} from "three";
import { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";

const view = document.getElementById("solid");
const told = document.getElementById("solid-told");

function start(document_) {
  const length = document_.length_m;
  const scene = new Scene();
  const camera = new PerspectiveCamera(40, 1, 0.05, 100);
  camera.position.set(0.55 * length, 0.45 * length, 0.95 * length);
  const renderer = new WebGLRenderer({ antialias: true, alpha: true });
  renderer.domElement.setAttribute("aria-hidden", "true"); // the table below says the same
  view.replaceChildren(renderer.domElement);
  const controls = new OrbitControls(camera, renderer.domElement);
  controls.target.set(0, 0, 0);
  scene.add(new AmbientLight(0xffffff, 1.3));
  const sun = new DirectionalLight(0xffffff, 2.2);
  sun.position.set(2, 4, 3);
  scene.add(sun);

  const log = new Group();
  log.position.z = length / 2; // turned about its middle
  scene.add(log);
  const slabs = [];
  for (const body of document_.bodies) {
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(Float32Array.from(body.points, (p) => p * document_.unit_m), 3));
    geometry.setIndex(body.triangles);
    const flat = geometry.toNonIndexed(); // each face its own light: sawn wood has edges
    flat.computeVertexNormals();
    const bark = body.name === "log";
    const colour = new Color(bark ? 0x6b4a33 : body.pith ? 0xc98a4b : 0xe0b27a);
    const mesh = new Mesh(flat, new MeshLambertMaterial({ color: colour, transparent: bark, opacity: bark ? 0.25 : 1, depthWrite: !bark, polygonOffset: bark, polygonOffsetFactor: 1, polygonOffsetUnits: 4 }));
    mesh.name = body.name;
    if (!bark) {
      mesh.add(new LineSegments(new EdgesGeometry(geometry, 25), new LineBasicMaterial({ color: 0x2b1a0d })));
      slabs.push({ mesh, middle: body.middle_m });
    }
    log.add(mesh);
  }

  const draw = () => renderer.render(scene, camera);
  const fit = () => {
    const { width, height } = view.getBoundingClientRect();
    renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
    renderer.setSize(width, height, false);
    camera.aspect = width / height;
    // A phone held upright sees as much of the log from side to side as a wide screen does from top to bottom.
    camera.fov = (2 * Math.atan(Math.tan(Math.PI / 9) * Math.max(1, 1.3 / camera.aspect)) * 180) / Math.PI;
    camera.updateProjectionMatrix();
    draw();
  };
  const open = document.getElementById("solid-open");
  const spread = () => {
    for (const { mesh, middle } of slabs) mesh.position.y = middle * Number(open.value) / 100 * 3;
    draw();
  };
  const bark = document.getElementById("solid-log");
  const show = () => {
    log.getObjectByName("log").visible = bark.checked;
    draw();
  };
  open.addEventListener("input", spread);
  bark.addEventListener("change", show);
  controls.addEventListener("change", draw); // nothing moves by itself, so nothing is drawn by itself
  new ResizeObserver(fit).observe(view);

  const ray = new Raycaster();
  let down = null;
  renderer.domElement.addEventListener("pointerdown", (event) => { down = [event.clientX, event.clientY]; });
  renderer.domElement.addEventListener("pointerup", (event) => {
    if (!down || Math.hypot(event.clientX - down[0], event.clientY - down[1]) > 5) return;
    const box = renderer.domElement.getBoundingClientRect();
    ray.setFromCamera(new Vector2(2 * (event.clientX - box.left) / box.width - 1, 1 - 2 * (event.clientY - box.top) / box.height), camera);
    const hit = ray.intersectObjects(slabs.map((s) => s.mesh), false)[0];
    for (const { mesh } of slabs) mesh.material.emissive.set(hit && mesh === hit.object ? 0x7a2500 : 0x000000);
    const row = hit && document.querySelector(`[data-slab-row="${hit.object.name}"]`);
    told.textContent = row ? row.dataset.told : "Touch a slab to read it.";
    draw();
  });
  const turn = { ArrowLeft: [-0.15, 0], ArrowRight: [0.15, 0], ArrowUp: [0, 0.1], ArrowDown: [0, -0.1] };
  view.addEventListener("keydown", (event) => {
    const by = turn[event.key];
    if (!by) return;
    event.preventDefault();
    log.rotation.y += by[0];
    log.rotation.x += by[1];
    draw();
  });
  spread();
  show();
  fit();
}

async function begin() {
  try {
    const answer = await fetch(view.dataset.bodies);
    if (!answer.ok) throw new Error(String(answer.status));
    start(await answer.json());
  } catch {
    view.textContent = "This device cannot draw it in three dimensions. The opened log on the plan's page shows the same slabs.";
  }
}

begin();
