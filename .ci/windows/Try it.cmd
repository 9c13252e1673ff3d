@echo off
rem Started alone it opens the picture of the example program and tells what is wrong in it. Programs and folders that
rem are dropped onto it are checked. Nothing of them is changed.
setlocal EnableExtensions DisableDelayedExpansion
title Turnwright
set "here=%~dp0"
set "program=%here%turnwright.exe"
if not exist "%program%" goto missing
set "place=%TEMP%\Turnwright"
if not exist "%place%" mkdir "%place%"
if not "%~1"=="" goto dropped

echo This is the example program, with faults put into it on purpose.
echo.
pushd "%here%docs\examples"
"%program%" check pump-shaft-faulty.nc
"%program%" picture pump-shaft-faulty.nc -o "%place%\example.html"
popd
echo.
echo Its picture opens in your browser: %place%\example.html
echo Drop a program or a folder of programs onto "Try it.cmd" to have it checked.
if not defined TURNWRIGHT_QUIET start "" "%place%\example.html"
goto end

:dropped
if not exist "%~1" goto not_there
echo Checking %1
echo.
"%program%" check "%~1"
if exist "%~1\*" goto next
"%program%" picture "%~1" -o "%place%\%~n1.html"
if errorlevel 1 goto next
echo.
echo Its picture: %place%\%~n1.html
if not defined TURNWRIGHT_QUIET start "" "%place%\%~n1.html"
:next
shift
if not "%~1"=="" goto dropped
goto end

:not_there
echo There is no %1
echo If a name in its path holds the sign for "and", drop it from another place: Windows cuts such a path in two.
goto end

:missing
echo There is no turnwright.exe beside this file. Unpack the whole zip first: right click on it, "Extract All".

:end
echo.
echo A program with no warnings is not a proven program. Prove it out at the machine.
if not defined TURNWRIGHT_QUIET pause
exit
