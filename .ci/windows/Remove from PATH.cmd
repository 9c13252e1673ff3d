@echo off
rem Takes back what "Add to PATH.cmd" did, for you alone.
if not exist "%~dp0turnwright.exe" goto missing
"%~dp0turnwright.exe" path --remove
goto end
:missing
echo There is no turnwright.exe beside this file. Unpack the whole zip first: right click on it, "Extract All".
:end
if not defined TURNWRIGHT_QUIET pause
